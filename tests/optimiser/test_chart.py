"""Charts: as wide as asked on any terminal, plain text, and drawings that are only drawings."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from optimiser.report.chart import Series, bars, drawn, svg, svg_grid

HEIGHTS = (0.0, 0.0, 5.0, 9.0, 70.0, 70.0, 30.0)
LINE = Series("left over", [(float(x), y) for x, y in enumerate(HEIGHTS, 8)])
NASTY = '</title><script>alert(1)</script> & "quoted" <!-- --> ]]>'
AMOUNTS = st.floats(0, 1e5).map(lambda value: round(value, 3))


def widest(text: str) -> int:
    return max(map(cell_len, text.splitlines()))


@settings(max_examples=60)
@given(
    points=st.lists(st.tuples(AMOUNTS, AMOUNTS), min_size=1, max_size=30),
    width=st.integers(50, 120),
    across=st.text(st.characters(categories=["L", "N", "P"]) | st.just(" "), max_size=90),
)
def test_a_chart_fits_and_steers_no_terminal(
    points: list[tuple[float, float]], width: int, across: str
) -> None:
    said = drawn([Series("x", sorted(points))], across=across, up="left over, g", width=width)
    assert widest(said) <= width
    assert "left over, g" in said
    assert all(one.isprintable() for line in said.splitlines() for one in line)


def test_it_does_not_depend_on_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    wide = drawn([LINE], across="pieces", up="g", width=80)
    for columns, lines in (("40", "8"), ("200", "60")):
        monkeypatch.setenv("COLUMNS", columns)
        monkeypatch.setenv("LINES", lines)
        assert drawn([LINE], across="pieces", up="g", width=80) == wide
    assert widest(wide) == 80
    assert len(wide.splitlines()) == 14


def test_each_chart_is_drawn_afresh() -> None:
    first = drawn([LINE], across="pieces", up="g")
    other = Series("other", [(1.0, 3.0), (2.0, 4.0)])
    assert drawn([other], across="lunches", up="EUR") != first
    assert drawn([LINE], across="pieces", up="g") == first


def test_labels_that_are_too_long_are_cut_and_not_left_out() -> None:
    said = drawn([LINE], across="a batch of a long name, " * 6, up="y" * 90).splitlines()[-1]
    assert said.startswith("yyyy")
    assert "a batch of a" in said
    assert said.count("…") == 2
    # Characters of two columns each count as two.
    said = drawn([LINE], across="豆" * 60, up="g")
    assert widest(said) <= 80
    assert "豆豆豆" in said


@pytest.mark.parametrize(
    ("values", "wanted"),
    [
        ([0, 70], ["0", "20", "40", "60"]),
        ([0.1, 0.4], ["0.1", "0.2", "0.3", "0.4"]),
        ([12.19, 13.61], ["12.5", "13", "13.5"]),
        ([0, 912, 2712], ["0", "1000", "2000"]),
        ([5, 5], ["5"]),
    ],
)
def test_heights_are_round_numbers(values: list[float], wanted: list[str]) -> None:
    said = drawn([Series("x", list(enumerate(map(float, values))))], across="x", up="y")
    ticks = [line[: line.index("┤")].strip() for line in said.splitlines() if "┤" in line]
    assert ticks[::-1] == wanted


def parsed(drawing: str) -> ET.Element:
    """Parse a drawing and see that it does nothing and asks for nothing."""
    root = ET.fromstring(drawing)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    for one in root.iter():
        assert one.tag.rpartition("}")[2] not in {"script", "image", "a", "foreignObject", "use"}
        for name, value in one.attrib.items():
            assert not name.rpartition("}")[2].startswith("on")
            assert "href" not in name
            assert "url(" not in value
        assert one.tag.rpartition("}")[2] != "style" or "@import" not in (one.text or "")
    addresses = drawing.replace("http://www.w3.org/2000/svg", "")
    assert "http" not in addresses
    return root


DRAWINGS = {
    "line": lambda name: svg([Series(name, LINE.points)], title=name, across=name, up=name),
    "dots": lambda name: svg(
        [Series(name, LINE.points), Series("b", LINE.points)],
        title=name,
        across=name,
        up=name,
        dots_only=True,
    ),
    "grid": lambda name: svg_grid(
        [name, "9"], ["3", name], [[1.0, None], [0.0, 2.5]], title=name, across=name, up=name
    ),
    "bars": lambda name: bars(
        [(name, 9.0, 9.5, True), ("b", 9.25, 11.0, False)],
        title=name,
        across=name,
        legend=(name, name),
    ),
}


@pytest.mark.parametrize("sort", DRAWINGS)
@pytest.mark.parametrize("name", ["leek bake, pieces", NASTY])
def test_a_drawing_is_only_a_drawing_and_the_same_twice(sort: str, name: str) -> None:
    drawing = DRAWINGS[sort](name)
    assert DRAWINGS[sort](name) == drawing
    said = "".join(parsed(drawing).itertext())
    # What looked like tags is text that a reader sees.
    assert (name if sort != "bars" else name.split(maxsplit=1)[0]) in said


@pytest.mark.parametrize("dots_only", [True, False])
def test_every_point_is_drawn(dots_only: bool) -> None:
    root = parsed(svg([LINE], title="t", across="x", up="y", dots_only=dots_only))
    dots = [one for one in root.iter() if one.attrib.get("class", "").startswith("dot ")]
    assert len({one.attrib["cx"] for one in dots}) == len(dots) == len(LINE.points)
    # The higher the value, the nearer to the top.
    heights = [-float(one.attrib["cy"]) for one in dots]
    values = [y for _, y in LINE.points]
    assert [heights.index(one) for one in heights] == [values.index(one) for one in values]
    assert max(heights) == heights[values.index(70.0)]


@pytest.mark.parametrize(
    "values", [[[None, None]], [[0.0, 0.0]], [[0.0]], [[5.0]], [[None, 1.0], [2.0, None]]]
)
def test_a_grid_of_nothing_or_of_nought_can_be_drawn(values: list[list[float | None]]) -> None:
    rows = [str(at) for at in range(len(values))]
    columns = [str(at) for at in range(len(values[0]))]
    drawing = svg_grid(rows, columns, values, title="t", across="x", up="y")
    assert not math.isnan(float(parsed(drawing).attrib["viewBox"].split()[2]))
    assert "nan" not in drawing.casefold()


@pytest.mark.parametrize("points", [[(1.0, 0.0)], [(1.0, 5.0)], [(1.0, 0.0), (2.0, 0.0)]])
def test_a_single_point_and_a_flat_line_can_be_drawn(points: list[tuple[float, float]]) -> None:
    assert "nan" not in svg([Series("x", points)], title="t", across="x", up="y").casefold()
    assert widest(drawn([Series("x", points)], across="x", up="y")) <= 80
