"""How the house hangs together: its rooms, the arrows between them, and the circles.

`python -m tests.house [FOLDER]` counts them in any copy of the project. A room is a package or
module right below `models` or `optimiser`; an arrow says that something in one room imports
something in another; a circle is a group of rooms each of which leads to all others.
"""

from __future__ import annotations

import sys
from pathlib import Path

import grimp

FLOORS = ("models", "optimiser")


def arrows_of(folder: Path) -> dict[str, set[str]]:
    """Give the rooms that each room imports, in the project in a folder."""
    sys.path.insert(0, str(folder.resolve()))
    graph = grimp.build_graph(*FLOORS, cache_dir=None)
    arrows: dict[str, set[str]] = {}
    for module in graph.modules - set(FLOORS):
        room = room_of(module)
        rooms = map(room_of, graph.find_modules_directly_imported_by(module))
        arrows.setdefault(room, set()).update(set(rooms) - {room, *FLOORS})
    return arrows


def room_of(module: str) -> str:
    """Name the room that a module lies in: `optimiser.rules` for `optimiser.rules.box`."""
    return ".".join(module.split(".")[:2])


def circles_of(arrows: dict[str, set[str]]) -> set[frozenset[str]]:
    """Find the largest groups of several rooms that all lead to each other."""
    reach = {room: _reached(arrows, room) for room in arrows}
    return {
        frozenset(other for other in reach[room] if room in reach[other])
        for room in arrows
        if any(room in reach[other] for other in reach[room] - {room})
    }


def _reached(arrows: dict[str, set[str]], room: str) -> set[str]:
    reached, ahead = set[str](), [room]
    while ahead:
        fresh = arrows[ahead.pop()] - reached
        reached |= fresh
        ahead += fresh
    return reached


def main() -> None:
    """Print what each room imports, then the three counts."""
    arrows = arrows_of(Path(*sys.argv[1:2]))
    for room, others in sorted(arrows.items()):
        print(f"{room} -> {', '.join(sorted(others)) or 'nothing'}")
    circles = circles_of(arrows)
    for circle in sorted(map(sorted, circles)):
        print("circle:", ", ".join(circle))
    print(f"rooms {len(arrows)}, arrows {sum(map(len, arrows.values()))}, circles {len(circles)}")


if __name__ == "__main__":
    main()
