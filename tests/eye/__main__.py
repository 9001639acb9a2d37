"""Pictures of page, sheet and labels: `python -m tests.eye FOLDER`; --keep keeps them as right."""

from __future__ import annotations

import argparse
import base64
import json
import sys
from collections.abc import Iterator
from datetime import datetime
from itertools import product
from pathlib import Path

from playwright.sync_api import Browser, Page

import optimiser
from optimiser.report.label_sheet import sheet as label_sheet
from tests.eye import COLUMNS, ROWS, changed
from tests.sheets.browser import browser

WIDTHS = {390: 844, 768: 1024, 1280: 900}
MORNING = "2026-12-05T07:10"
"""A day of the demo on which there is something to thaw."""
KEPT = Path(__file__).parent / "kept.json"
PARTS = ("", "#week", "#to-buy", "#prep", "#tubs", "#what-if", "#why", "#left")
GRID = f"""async picture => {{
  const image = new Image();
  image.src = `data:image/png;base64,${{picture}}`;
  await image.decode();
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [{COLUMNS * 16}, {ROWS * 16}];
  const pen = canvas.getContext("2d");
  pen.drawImage(image, 0, 0, canvas.width, canvas.height);
  let grid = "";
  for (let y = 0; y < {ROWS}; y++) for (let x = 0; x < {COLUMNS}; x++) {{
    const cell = pen.getImageData(16 * x, 16 * y, 16, 16).data;
    let light = 0;
    for (let at = 0; at < cell.length; at += 4)
      light += 0.2126 * cell[at] + 0.7152 * cell[at + 1] + 0.0722 * cell[at + 2];
    grid += Math.min(15, Math.floor(light / 256 / 16)).toString(16);
  }}
  return grid;
}}"""


def written(folder: Path) -> dict[str, Path]:
    """Write what is looked at, of the ready weeks."""
    texts = {}
    for name in ("demo", "family"):
        plan = optimiser.plan(name)
        page = optimiser.page(plan, sliders=name == "demo", verdicts=name == "demo")
        texts[f"page-{name}"] = optimiser.render(page)
        texts[f"sheet-{name}"] = optimiser.render(page, on_paper=True)
        texts[f"labels-{name}"] = label_sheet(optimiser.labels(plan), "a4-21", lines=True)
    for name, text in texts.items():
        (folder / f"{name}.html").write_text(text, encoding="utf-8")
    return {name: folder / f"{name}.html" for name in texts}


def pictures(running: Browser, files: dict[str, Path]) -> Iterator[tuple[str, Page]]:
    """Open each at every width, light and dark; give it with the name of its picture."""
    for (name, file), (width, height), scheme in product(
        files.items(), WIDTHS.items(), ("light", "dark")
    ):
        context = running.new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if scheme == "dark" else "light",
        )
        page = context.new_page()
        page.clock.set_fixed_time(datetime.fromisoformat(MORNING))
        for part in PARTS if name == "page-demo" else ("",):
            page.goto(file.as_uri() + part)
            page.evaluate("scrollTo(0, 0)")
            yield f"{name}{part.replace('#', '-')}-{width}-{scheme}", page
        if name.startswith("sheet"):
            page.emulate_media(media="print")
            yield f"{name}-{width}-{scheme}-print", page
        context.close()


def main() -> int:
    """Make the pictures; give 1 where some look otherwise than what was kept."""
    asked = argparse.ArgumentParser(prog="python -m tests.eye", description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--keep", action="store_true", help="what is seen is how it should be")
    given = asked.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    grids = {}
    with browser() as running:
        blank = running.new_page()
        for name, page in pictures(running, written(given.folder)):
            picture = page.screenshot(path=str(given.folder / f"{name}.png"))
            grids[name] = blank.evaluate(GRID, base64.b64encode(picture).decode())
    if given.keep:
        KEPT.write_text(json.dumps(grids, indent=0, sort_keys=True) + "\n", encoding="utf-8")
    other = changed(grids, json.loads(KEPT.read_text(encoding="utf-8")))
    print(f"{len(grids)} pictures in {given.folder}.")
    for name in other:
        print(f"looks otherwise: {name}")
    return 1 if other else 0


if __name__ == "__main__":
    sys.exit(main())
