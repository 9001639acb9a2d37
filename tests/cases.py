"""Many small cases as one test, which names all that fail; a test each costs more than it checks.

`each` stands where `pytest.mark.parametrize` would, over tests that take no folder of their own.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable
from typing import Any

import pytest


def each(names: str | tuple[str, ...], cases: Iterable[Any]) -> Callable[[Any], Any]:
    """Run a test on each case: a value for one name, a tuple of values for several."""
    keys = [name.strip() for name in names.split(",")] if isinstance(names, str) else list(names)

    def fold(test: Callable[..., None]) -> Callable[..., None]:
        given = [dict(zip(keys, case if keys[1:] else (case,), strict=True)) for case in cases]
        assert given, "no case"

        def every(**fixtures: Any) -> None:
            failed: list[BaseException] = []
            for case in given:
                try:
                    test(**case, **fixtures)
                except (Exception, pytest.fail.Exception, BaseExceptionGroup) as fault:  # noqa: BLE001
                    fault.add_note("case: " + ", ".join(f"{k} = {v!r}" for k, v in case.items()))
                    failed.append(fault)
            if failed:
                raise BaseExceptionGroup(f"{len(failed)} of {len(given)} cases", failed)

        every.__dict__.update(test.__dict__)
        signature = inspect.signature(test)
        rest = [parameter for name, parameter in signature.parameters.items() if name not in keys]
        every.__name__, every.__doc__ = test.__name__, test.__doc__
        every.__module__, every.__qualname__ = test.__module__, test.__qualname__
        every.__signature__ = signature.replace(parameters=rest)  # type: ignore[attr-defined]
        return every

    return fold
