"""Charts: as wide as asked on any terminal, plain text, and drawings that are only drawings."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from importlib import resources
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from optimiser.report.chart import bars, drawn, svg, svg_grid

HEIGHTS = (0.0, 0.0, 5.0, 9.0, 70.0, 70.0, 30.0)
LINE = [(float(x), y) for x, y in enumerate(HEIGHTS, 8)]
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
    chart = drawn(sorted(points), across=across, up="left over, g", width=width)
    assert widest(chart) <= width
    assert "left over, g" in chart
    assert chart.replace("\n", "").isprintable()


def test_it_does_not_depend_on_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    wide = drawn(LINE, across="pieces", up="g", width=80)
    for columns, lines in (("40", "8"), ("200", "60")):
        monkeypatch.setenv("COLUMNS", columns)
        monkeypatch.setenv("LINES", lines)
        assert drawn(LINE, across="pieces", up="g", width=80) == wide
    assert widest(wide) == 80
    assert len(wide.splitlines()) == 14


def test_each_chart_is_drawn_afresh() -> None:
    first = drawn(LINE, across="pieces", up="g")
    assert drawn([(1.0, 3.0), (2.0, 4.0)], across="lunches", up="EUR") != first
    assert drawn(LINE, across="pieces", up="g") == first


def test_labels_that_are_too_long_are_cut_and_not_left_out() -> None:
    labels = drawn(LINE, across="a batch of a long name, " * 6, up="y" * 90).splitlines()[-1]
    assert labels.startswith("yyyy")
    assert "a batch of a" in labels
    assert labels.count("…") == 2
    # Characters of two columns each count as two.
    chart = drawn(LINE, across="豆" * 60, up="g")
    assert widest(chart) <= 80
    assert "豆豆豆" in chart


@pytest.mark.parametrize(
    ("values", "wanted"),
    [
        ([0, 70], ["0", "20", "40", "60"]),
        ([0.1, 0.4], ["0.1", "0.2", "0.3", "0.4"]),
        ([12.19, 13.61], ["12.5", "13", "13.5"]),
        ([0, 912, 2712], ["0", "1000", "2000"]),
        ([5, 5], ["5"]),
        ([21, 22], ["21", "22"]),
    ],
)
def test_heights_are_round_numbers(values: list[float], wanted: list[str]) -> None:
    chart = drawn(list(enumerate(map(float, values))), across="x", up="y")
    ticks = [line[: line.index("┤")].strip() for line in chart.splitlines() if "┤" in line]
    assert ticks[::-1] == wanted


def parsed(drawing: str) -> ET.Element:
    """Parse a drawing and see that it does nothing and asks for nothing."""
    root = ET.fromstring(drawing)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    for node in root.iter():
        assert node.tag.rpartition("}")[2] not in {"script", "image", "a", "foreignObject", "use"}
        for name, value in node.attrib.items():
            assert not name.rpartition("}")[2].startswith("on")
            assert "href" not in name
            assert "url(" not in value
    addresses = drawing.replace("http://www.w3.org/2000/svg", "")
    assert "http" not in addresses
    return root


DRAWINGS = {
    "line": lambda name: svg(LINE, title=name, across=name, up=name),
    "dots": lambda name: svg(LINE, title=name, across=name, up=name, joined=False),
    "grid": lambda name: svg_grid(
        [name, "9"],
        ["3", name],
        [[1.0, None], [0.0, 2.5]],
        title=name,
        across=name,
        up=name,
        note=name,
    ),
    "bars": lambda name: bars(
        [(name, 9.0, 9.5, True), ("b", 9.25, 11.0, False)], title=name, legend=(name, name)
    ),
}


@pytest.mark.parametrize("sort", DRAWINGS)
@pytest.mark.parametrize("name", ["leek bake, pieces", NASTY])
def test_a_drawing_is_only_a_drawing_and_the_same_twice(sort: str, name: str) -> None:
    drawing = DRAWINGS[sort](name)
    assert DRAWINGS[sort](name) == drawing
    # What looked like tags is text that a reader sees.
    assert name in "".join(parsed(drawing).itertext())


def file_of(name: str) -> str:
    return (resources.files("optimiser.report") / "templates" / name).read_text()


@pytest.mark.parametrize("sort", DRAWINGS)
def test_its_style_is_ours_alone_and_can_be_read_on_a_phone(sort: str) -> None:
    drawing = DRAWINGS[sort]("leek bake")
    root = parsed(drawing)
    styles = [node.text or "" for node in root.iter() if node.tag.endswith("style")]
    assert [style.strip() for style in styles] == [file_of("chart.css").strip()]
    assert not [node.attrib["style"] for node in root.iter() if "style" in node.attrib]
    for foreign in ("pygal", "tooltip", "desc", "hover", "transition", "reactive"):
        assert foreign not in drawing
    across = float(root.attrib["viewBox"].split()[2])
    sizes = [
        float(size) for size in re.findall(r"([0-9.]+)px", styles[0].replace("font-weight", ""))
    ]
    # 14 px each on a phone of 360 px, and 11 where the page leaves 290 of them.
    assert min(sizes) / across * 290 >= 11
    # A height that holds all that is drawn, so that nothing is cut off.
    height = float(root.attrib["viewBox"].split()[3])
    outer = [node for node in root if node.tag.endswith("text")]
    assert max(float(node.attrib["y"]) for node in outer) + 3 <= height


def test_its_colours_are_those_of_the_page() -> None:
    def colours(name: str) -> set[str]:
        return set(re.findall(r"#[0-9a-f]{6}", file_of(name)))

    assert colours("chart.css") <= colours("palette.css")


@pytest.mark.parametrize("joined", [True, False])
def test_every_point_is_drawn(joined: bool) -> None:
    root = parsed(svg(LINE, title="t", across="x", up="y", joined=joined))
    dots = [node for node in root.iter() if node.attrib.get("class") == "dot"]
    assert len({node.attrib["cx"] for node in dots}) == len(dots) == len(LINE)
    # The higher the value, the nearer to the top.
    heights = [-float(node.attrib["cy"]) for node in dots]
    values = [y for _, y in LINE]
    assert [heights.index(height) for height in heights] == [values.index(y) for y in values]
    assert max(heights) == heights[values.index(70.0)]


def test_between_whole_numbers_the_line_goes_by_steps_and_a_ring_is_at_the_plan() -> None:
    def numbers(points: list[tuple[float, float]]) -> list[float]:
        root = parsed(svg(points, title="t", across="x", up="y", now=points[2][0]))
        assert len([node for node in root.iter() if node.tag.endswith("circle")]) == len(points) + 1
        paths = [node.attrib for node in root.iter() if node.attrib.get("class") == "line nofill"]
        return [float(number) for number in re.findall(r"[0-9.]+", paths[-1]["d"])]

    for whole, points in ((True, LINE), (False, [(x / 2 + 0.25, y) for x, y in LINE])):
        along = numbers(points)
        places = list(zip(along[::2], along[1::2], strict=True))
        upright = [a[0] == b[0] or a[1] == b[1] for a, b in pairwise(places)]
        assert all(upright) == whole
        assert len(places) == (3 * len(points) - 2 if whole else len(points))


def test_nothing_left_over_looks_otherwise_than_no_plan() -> None:
    drawing = svg_grid(
        ["4", "5"], ["1", "2"], [[0.0, None], [4.0, 1.0]], title="t", across="x", up="y"
    )
    dots = [
        (node.attrib["class"], float(node.attrib["r"]))
        for node in parsed(drawing).iter()
        if node.tag.endswith("circle")
    ]
    assert [sort for sort, _ in dots] == ["dot ring", "dot", "dot"]
    # Four times as much has four times the area.
    assert dots[1][1] == pytest.approx(2 * dots[2][1])


def test_numbers_below_a_line_are_never_written_over_each_other() -> None:
    for xs in (range(8, 29), (1, 2, 100), (20.2887, 20.29, 21.4187), (1000, 1001, 1002, 1003)):
        line = [(float(x), 1.0) for x in xs]
        root = parsed(svg(line, title="t", across="x", up="y"))
        axis = next(node for node in root.iter() if node.attrib.get("class") == "axis x")
        spans = []
        for node in axis.iter():
            if node.tag.endswith("text"):
                half, at = 3.5 * len(node.text or ""), float(node.attrib["x"])
                spans += [at - half, at + half]
        assert spans == sorted(spans), xs


def test_a_bar_stands_below_its_name_and_at_its_time() -> None:
    rows = [
        ("soak", 9.0, 11.0, False),
        ("cut", 9.5, 9.75, True),
        ("a step with a name of more than a line, which is not cut", 10.9, 11.0, True),
    ]
    root = parsed(bars(rows, title="t", legend=("hands", "alone")))
    drawn_bars = [node.attrib for node in root.iter() if node.tag.endswith("rect")][:3]
    assert [bar["class"] for bar in drawn_bars] == ["alone", "hands", "hands"]
    left, hour = float(drawn_bars[0]["x"]), float(drawn_bars[0]["width"]) / 2
    for bar, (_, begin, end, _) in zip(drawn_bars, rows, strict=True):
        assert float(bar["x"]) == pytest.approx(left + hour * (begin - 9), abs=0.1)
        assert float(bar["width"]) == pytest.approx(hour * (end - begin), abs=0.2)
    words = [node.text for node in root.iter() if node.tag.endswith("text")]
    assert "9:30" in words
    assert "".join(word or "" for word in words).count("not cut") == 1


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
    assert "nan" not in svg(points, title="t", across="x", up="y").casefold()
    assert widest(drawn(points, across="x", up="y")) <= 80
