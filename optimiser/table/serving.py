"""The server: routes made of the parts, on a free port of this machine alone, until Ctrl-C."""

from __future__ import annotations

import asyncio
import os
import re
import signal
import socket
import threading
import webbrowser
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import contextmanager, suppress
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import uvicorn
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from models.words.errors import InputError
from models.words.text import ISOLATES
from optimiser.report.template import filled
from optimiser.table.door import MOST_BYTES, Door, new_token
from optimiser.table.part import Act, Fields, PagePart, Refusals, TakenFile, back
from optimiser.table.parts import PARTS, start
from optimiser.table.showing import frame
from optimiser.table.sitting import Sitting

if TYPE_CHECKING:
    from starlette.requests import Request

LOOK_SECONDS = 0.1
"""How often it is looked whether something is new to show."""
_STYLE = (
    ("optimiser.report", "palette.css"),
    ("optimiser.report", "screen.css"),
    ("optimiser.table", "table.css"),
)
_SCRIPT = (("optimiser.table", "table.js"),)
MOST_FIELDS = 2_000
_POLICY = re.compile(r'http-equiv="Content-Security-Policy" content="([^"]*)"')


def page(
    sitting: Sitting, part: PagePart, asked: Fields, path: str, fault: InputError | None = None
) -> str:
    """Write the whole page with one part of it.

    Parameters
    ----------
    sitting
        What goes on.
    part
        What is asked for.
    asked
        What the address or the form says.
    path
        The address itself.
    fault
        Why something was refused, where it was.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from optimiser.table.opened import opened
    >>> with TemporaryDirectory() as folder:
    ...     written = page(Sitting(opened(f"{folder}/week.yaml")), PARTS[0], {}, "/")
    >>> written[:15], "week.yaml" in written
    ('<!DOCTYPE html>', True)
    """
    listed = [
        {"path": other.path, "name": other.name, "fact": other.fact(sitting), "here": other is part}
        for other in PARTS
        if other.name and not sitting.is_new
    ]
    # What a part asks comes before it is told what is being looked for.
    inside = part.show(sitting, asked)
    around = frame(sitting, path, inside.pop("instead", None))
    tried = inside.pop("fault", None)
    refusals = Refusals(fault or tried, asked.get("form", ""))
    return filled(
        "table.html",
        room="optimiser.table",
        **around,
        **inside,
        panel=part.template,
        path=path,
        given=asked,
        refusals=refusals,
        is_refused=fault is not None,
        index=listed,
    )


def application(sitting: Sitting) -> Starlette:
    """Make the routes of all parts.

    Parameters
    ----------
    sitting
        What goes on.

    Returns
    -------
    Starlette
        An ASGI application; who may come in is judged before it.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from optimiser.table.opened import opened
    >>> with TemporaryDirectory() as folder:
    ...     made = application(Sitting(opened(f"{folder}/week.yaml")))
    >>> {"/", "/undo", "/events", "/table.js"} <= {route.path for route in made.routes}
    True
    """
    routes = [
        Route("/table.css", _file(_STYLE, "text/css")),
        Route("/table.js", _file(_SCRIPT, "text/javascript")),
        Route("/events", _events(sitting)),
    ]
    for part in PARTS:
        routes.append(Route(part.path, _shown(sitting, part)))
        routes += [
            Route(path, _done(sitting, part, act), methods=["POST"])
            for path, act in part.acts.items()
        ]
        routes += [Route(path, _taken(sitting, write)) for path, write in part.files.items()]
    return Starlette(routes=routes, exception_handlers={Exception: _broken})


async def _broken(request: Request, fault: Exception) -> Response:
    what = f"a fault of the program, not of your file ({type(fault).__name__})"
    text = await run_in_threadpool(filled, "broken.html", room="optimiser.table", what=what)
    return HTMLResponse(text, 500)


def _shown(sitting: Sitting, part: PagePart) -> Callable[[Request], Any]:
    async def show(request: Request) -> Response:
        if sitting.is_new is not (part is start.PART) and part.path in ("/", start.PART.path):
            return RedirectResponse(start.PART.path if sitting.is_new else "/", 303)
        asked = _plain({**request.query_params, **request.path_params})
        try:
            text = await run_in_threadpool(page, sitting, part, asked, _path(request))
        except InputError as fault:
            # What the address names is not there, or not any more.
            text = await run_in_threadpool(page, sitting, PARTS[0], {}, "/", fault)
            return HTMLResponse(text, 404)
        return HTMLResponse(text)

    return show


def _done(sitting: Sitting, part: PagePart, act: Act) -> Callable[[Request], Any]:
    async def do(request: Request) -> Response:
        asked = _plain({**await _form(request), **request.path_params})
        try:
            to = await run_in_threadpool(act, sitting, asked)
            if to is not None:
                return RedirectResponse(to, 303)
            text = await run_in_threadpool(page, sitting, part, asked, part.path)
            return HTMLResponse(text)
        except InputError as fault:
            try:
                text = await run_in_threadpool(page, sitting, part, asked, back(asked), fault)
            except InputError:
                text = await run_in_threadpool(page, sitting, PARTS[0], {}, "/", fault)
            return HTMLResponse(text, 422)

    return do


def _taken(
    sitting: Sitting, write: Callable[[Sitting, Fields], TakenFile]
) -> Callable[[Request], Any]:
    async def take(request: Request) -> Response:
        try:
            taken = await run_in_threadpool(write, sitting, dict(request.query_params))
        except InputError as fault:
            text = await run_in_threadpool(page, sitting, PARTS[0], {}, "/", fault)
            return HTMLResponse(text, 404)
        way = "inline" if taken.shown else "attachment"
        name = quote(f"{sitting.file.held.path.stem}-{taken.name}")
        headers = {"Content-Disposition": f"{way}; filename*=UTF-8''{name}"}
        policy = _POLICY.search(taken.text)
        if taken.shown and policy is not None:
            # What is opened to print brings a policy of its own, and is of no origin.
            headers["Content-Security-Policy"] = f"{policy[1]}; sandbox allow-modals"
        return Response(taken.text, media_type=f"{taken.kind}; charset=utf-8", headers=headers)

    return take


def _path(request: Request) -> str:
    path: str = request.scope.get("raw_path", b"/").decode("latin-1")
    return path


def _plain(asked: Fields) -> dict[str, str]:
    """Take away the marks that only keep names apart where they are shown."""
    return {name: text.translate(dict.fromkeys(map(ord, ISOLATES))) for name, text in asked.items()}


async def _form(request: Request) -> dict[str, str]:
    """Read a form: text as it is, a file as its text; of the same name the last counts."""
    read: dict[str, str] = {}
    async with request.form(max_files=20, max_fields=MOST_FIELDS, max_part_size=MOST_BYTES) as form:
        for name, given in form.multi_items():
            if isinstance(given, UploadFile):
                text = (await given.read()).decode("utf-8", "replace")
                read[f"{name}:name"] = given.filename or ""
                read[name] = text
            else:
                read[name] = given.replace("\r\n", "\n")
    return read


def _file(files: tuple[tuple[str, str], ...], kind: str) -> Callable[[Request], Any]:
    async def show(request: Request) -> Response:
        return Response(_text(files), media_type=f"{kind}; charset=utf-8")

    return show


@cache
def _text(files: tuple[tuple[str, str], ...]) -> str:
    return "".join(
        (resources.files(room) / "templates" / name).read_text(encoding="utf-8")
        for room, name in files
    )


def _events(sitting: Sitting) -> Callable[[Request], Any]:
    async def tell(request: Request) -> Response:
        async def events() -> AsyncIterator[str]:
            # What came after the page was written and before this is asked for once.
            known, doing = (-1, _stands_there(sitting)), ""
            yield "retry: 1000\n\n"
            while not sitting.closing and not await request.is_disconnected():
                now = sitting.worker.doing
                if now != doing:
                    doing = now
                    yield f"event: doing\ndata: {' '.join(now.split())}\n\n"
                there = (sitting.worker.version, _stands_there(sitting))
                if there != known:
                    known = there
                    yield "event: changed\ndata: \n\n"
                await asyncio.sleep(LOOK_SECONDS)

        return StreamingResponse(events(), media_type="text/event-stream")

    return tell


def _stands_there(sitting: Sitting) -> str | None:
    with suppress(InputError, OSError):
        there = sitting.file.held.path.stat()
        return f"{there.st_mtime_ns} {there.st_size}"
    return None


class TableServer:
    """The server on its port, not yet running."""

    def __init__(self, sitting: Sitting) -> None:
        self.sitting = sitting
        self.token = new_token()
        self.socket = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        self.socket.bind(("127.0.0.1", 0))
        self.socket.listen(64)
        self.port: int = self.socket.getsockname()[1]
        self.app = Door(application(sitting), self.port, self.token)
        self._server: uvicorn.Server | None = None

    @property
    def address(self) -> str:
        """Where it is, with the token that lets one in."""
        return f"http://127.0.0.1:{self.port}{self.app.root}/?token={self.token}"

    def run(self, *, browser: bool) -> None:
        """Serve until somebody stops it.

        Parameters
        ----------
        browser
            Whether to open the page in the browser of this machine.
        """
        config = uvicorn.Config(
            self.app,
            log_level="error" if os.environ.get("CLEARFRIDGE_TRACE") else "critical",
            access_log=False,
            lifespan="off",
            server_header=False,
            timeout_graceful_shutdown=1,
        )
        server = self._server = _Server(config, self.sitting)
        if browser:
            # It waits in line until the server runs.
            webbrowser.open(self.address)
        # It may have been stopped before it ran at all.
        server.should_exit = self.sitting.closing
        try:
            server.run(sockets=[self.socket])
        finally:
            self.sitting.close()

    @contextmanager
    def stoppable(self) -> Iterator[None]:
        """Let Ctrl-C and a request to terminate end it in order, from before it runs.

        Raised in whatever is being done just then, as within an import, an interrupt would leave
        that half done. What is told to ignore them still does.
        """
        before = {}
        if threading.current_thread() is threading.main_thread():
            for wanted in (signal.SIGINT, signal.SIGTERM):
                if signal.getsignal(wanted) is not signal.SIG_IGN:
                    before[wanted] = signal.signal(wanted, lambda *_: self.end())
        try:
            yield
        finally:
            for wanted, handler in before.items():
                signal.signal(wanted, handler)

    def end(self) -> None:
        """End it from another thread."""
        self.sitting.closing = True
        if self._server is not None:
            self._server.should_exit = True


class _Server(uvicorn.Server):
    """Ends what it tells windows as soon as it is to end."""

    def __init__(self, config: uvicorn.Config, sitting: Sitting) -> None:
        super().__init__(config)
        self._sitting = sitting

    def handle_exit(self, sig: int, frame: Any) -> None:
        self._sitting.closing = True
        super().handle_exit(sig, frame)
