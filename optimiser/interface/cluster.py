"""Where weeks are planned besides on this machine: a Dask cluster of one's own.

What comes of a week does not depend on where it was planned.
"""

from __future__ import annotations

import logging
import warnings
from collections.abc import Mapping
from functools import cache
from typing import Any, cast

from models.words.errors import InputError

CONNECT_SECONDS = 10
"""How long a cluster may take to answer: a guess that suits a local network."""
MATTERS = ("clearfridge", "ortools", "highspy")
"""Packages on which a plan depends: in another version it may be another, and equally good."""


@cache
def on_cluster(address: str | None) -> dict[str, Any] | None:
    """Find a Dask cluster that runs; it is spoken to once.

    Parameters
    ----------
    address
        Of its scheduler, as "tcp://host:port". Weeks and answers are sent to it as Python objects,
        so it has to be one's own, with this program in the same version on each machine. None
        where weeks are planned on this machine.

    Returns
    -------
    dict or None
        The backend, as `joblib.parallel_config` takes it; None for this machine.

    Raises
    ------
    InputError
        When it does not answer, has no worker, when a machine of it has other versions, or the
        extra `cluster` is not installed.

    Examples
    --------
    >>> on_cluster("nowhere")
    Traceback (most recent call last):
    ...
    models.words.errors.InputError: --cluster: 'nowhere' is no address of a scheduler
    Write it as tcp://host:port.
    """
    if address is None:
        return None
    if not address.startswith(("tcp://", "tls://")):
        what = f"'{address}' is no address of a scheduler"
        raise InputError("--cluster", what, "Write it as tcp://host:port.")
    try:
        from distributed import Client  # noqa: PLC0415
    except ImportError:
        what = "the package 'distributed' is not installed"
        raise InputError(
            "--cluster", what, "Install it: pip install 'clearfridge[cluster]'"
        ) from None
    # It warns of what a worker took along when it died, and then does that again.
    logging.getLogger("distributed.client").setLevel(logging.ERROR)
    try:
        with warnings.catch_warnings():
            # Of versions that differ it warns with a table; those that matter are looked at below.
            warnings.simplefilter("ignore")
            client = cast("Any", Client)(address, timeout=CONNECT_SECONDS, set_as_default=False)
        client.wait_for_workers(1, timeout=CONNECT_SECONDS)
        _same(client.get_versions(packages=MATTERS))
    except (OSError, TimeoutError, ValueError):
        what = f"no cluster with a worker answers at '{address}'"
        raise InputError("--cluster", what, "Start one, or leave the option out.") from None
    return {"backend": "dask", "client": client, "n_jobs": -1}


def _same(versions: Mapping[str, Any]) -> None:
    """Refuse a cluster of which a machine has another version of what a plan depends on.

    A worker without the program would end itself over its first week, and nobody would tell.
    """
    here = versions["client"]["packages"]
    machines = {"its scheduler": versions["scheduler"]}
    machines |= {f"its worker {at}": worker for at, worker in sorted(versions["workers"].items())}
    for machine, installed in machines.items():
        for package in MATTERS:
            there = installed["packages"].get(package)
            if there != here[package]:
                what = f"{machine} has {f'{package} {there}' if there else f'no {package}'}"
                mend = f"Install {package} {here[package]} there, as here."
                raise InputError("--cluster", what, mend)
