"""A window on an open week, by requests alone: what a browser would send, and what comes back."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from optimiser.table.opened import opened
from optimiser.table.serving import TableServer
from optimiser.table.sitting import Sitting

GONE, REFUSED, WRONG, ELSEWHERE, TOO_LARGE = 404, 403, 422, 421, 413


class Window:
    def __init__(self, file: Path) -> None:
        self.file = file
        self.sitting = Sitting(opened(str(file)))
        self.serving = TableServer(self.sitting)
        self.serving.socket.close()
        self.base = f"http://127.0.0.1:{self.serving.port}"
        self.client = self.stranger()
        assert self.client.get("/", params={"token": self.serving.token}).status_code == 200

    def stranger(self) -> TestClient:
        """Give a client that never had the token."""
        return TestClient(self.serving.app, f"{self.base}{self.serving.app.root}")

    @property
    def text(self) -> str:
        return self.file.read_text(encoding="utf-8")

    def look(self, path: str = "/") -> str:
        """Ask for a page, wait until all is answered, and give what it shows then."""
        self.client.get(path)
        self.sitting.worker.wait()
        return shown(self.client.get(path).text)

    def do(self, path: str, status: int = 200, **fields: Any) -> str:
        """Send a form; give what is shown then."""
        return shown(self.sent(path, status, **fields))

    def sent(self, path: str, status: int = 200, **fields: Any) -> str:
        """Send a form; give the page that comes."""
        sent = {"on": self.sitting.digest, **fields}
        got = self.client.post(path, data=sent, headers={"origin": self.base})
        assert got.status_code == status, got.text
        self.sitting.worker.wait()
        return got.text


def shown(html: str) -> str:
    """Give the words of a page, without marks that only keep names apart."""
    text = re.sub(r"<(style|script)\b.*?</\1>|<[^>]*>", " ", html, flags=re.DOTALL)
    return " ".join(re.sub("[\u2068\u2069]", "", unescape(text)).split())


def beside(html: str, field: str) -> str:
    """Give the fault that stands below a field, which says that it is wrong and refers to it."""
    (tag,) = re.findall(rf'<(?:input|select|textarea)[^>]* id="{field}"[^>]*>', html)
    assert f'aria-describedby="{field}-below"' in tag
    told = re.search(rf'id="{field}-below"[^>]*>(?:<span class="refused"><b>(.*?)</b>)?', html)
    assert told is not None
    assert bool(told[1]) == ("aria-invalid" in tag)
    return shown(told[1] or "")
