"""The look: contrast of every pair, shades that read in grey, one style sheet that names known colours only."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from PySide6.QtGui import QFontMetricsF, QPalette
from PySide6.QtWidgets import QApplication

from bayround import places
from bayround.window import colours, theme
from bayround.window.colours import DARK, GRAPHIC_PAIRS, LIGHT, TEXT_PAIRS, Colours

LOOKS = (LIGHT, DARK)


def test_contrast_is_reckoned_as_published() -> None:
    """WCAG 2.2, definition of contrast ratio: black on white is 21; #777777 on white is 4.48 (W3C, G18)."""
    assert colours.contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert colours.contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.005)
    assert colours.contrast("#0072B2", "#FFFFFF") == pytest.approx(5.19, abs=0.01)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_text_reaches_four_and_a_half_to_one(look: Colours) -> None:
    """WCAG 2.2, success criterion 1.4.3 (AA)."""
    pairs = [
        (getattr(look, text), getattr(look, ground), f"{text} on {ground}") for text, ground in TEXT_PAIRS
    ]
    pairs += [
        (text, ground, f"text on shade {ground}")
        for text, ground in zip(look.on_ramp, look.ramp, strict=True)
    ]
    too_faint = {name: round(colours.contrast(text, ground), 2) for text, ground, name in pairs
                 if colours.contrast(text, ground) < 4.5}  # fmt: skip
    assert not too_faint


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_lines_and_symbols_reach_three_to_one(look: Colours) -> None:
    """WCAG 2.2, success criterion 1.4.11 (AA)."""
    too_faint = {pair for pair in GRAPHIC_PAIRS
                 if colours.contrast(getattr(look, pair[0]), getattr(look, pair[1])) < 3.0}  # fmt: skip
    assert not too_faint


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_shades_of_the_map_keep_their_order_in_grey(look: Colours) -> None:
    grey = [colours.luminance(shade) for shade in look.ramp]
    assert grey in (sorted(grey), sorted(grey, reverse=True))
    assert all(colours.contrast(first, second) >= 1.25 for first, second in pairwise(look.ramp))


DEUTERANOPIA = (
    (0.367322, 0.860646, -0.227968),
    (0.280085, 0.672501, 0.047413),
    (-0.011820, 0.042940, 0.968881),
)
PROTANOPIA = (
    (0.152286, 1.052583, -0.204868),
    (0.114503, 0.786281, 0.099216),
    (-0.003882, -0.048116, 1.051998),
)
"""Machado, Oliveira & Fernandes 2009, IEEE Trans. Vis. Comput. Graph. 15:1291–1298, severity 1.0; on linear RGB."""


def seen_by(matrix: tuple[tuple[float, ...], ...], colour: str) -> str:
    """Return a colour as an eye without one kind of cone sees it."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in channels]
    mixed = [
        min(1.0, max(0.0, sum(share * part for share, part in zip(row, linear, strict=True))))
        for row in matrix
    ]
    shown = [12.92 * part if part <= 0.0031308 else 1.055 * part ** (1 / 2.4) - 0.055 for part in mixed]
    return "#" + "".join(f"{round(part * 255):02X}" for part in shown)


def lightness(colour: str) -> float:
    """Return CIE 1976 L*, 0 to 100."""
    share = colours.luminance(colour)
    return 116 * share ** (1 / 3) - 16 if share > 216 / 24389 else share * 24389 / 27


def test_what_such_eyes_see_is_reckoned_as_published() -> None:
    """Greys stay grey (each row of the matrices adds up to 1); a pure red loses its red."""
    for matrix in (DEUTERANOPIA, PROTANOPIA):
        assert seen_by(matrix, "#808080") == "#808080"
        assert all(sum(row) == pytest.approx(1.0, abs=2e-6) for row in matrix)
    red = seen_by(DEUTERANOPIA, "#FF0000")
    assert abs(int(red[1:3], 16) - int(red[3:5], 16)) < 30


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
@pytest.mark.parametrize("matrix", [DEUTERANOPIA, PROTANOPIA], ids=["deuteranopia", "protanopia"])
def test_neighbouring_shades_keep_a_lightness_step_for_colour_blind_eyes(
    look: Colours, matrix: tuple[tuple[float, ...], ...]
) -> None:
    light = [lightness(seen_by(matrix, shade)) for shade in look.ramp]
    assert light in (sorted(light), sorted(light, reverse=True))
    assert min(abs(first - second) for first, second in pairwise(light)) >= 8
    lines = [seen_by(matrix, colour) for colour in (look.chart_line, look.chart_second)]
    assert all(colours.contrast(line, look.sheet) >= 3.0 for line in lines)


def style_sheet() -> str:
    text = (places.resources_dir() / "style" / "window.qss").read_text(encoding="utf-8")
    return re.sub(r"/[*].*?[*]/", "", text, flags=re.DOTALL)


WITHOUT_TEXT = ("#rail {", "QScrollBar", "QSplitter", "separator", "indicator", "CornerButton", "drop-down")
TEXT_KEYS = (("color", "background"), ("selection-color", "selection-background-color"))


def pairs_of_the_style_sheet() -> tuple[set[tuple[str, str]], set[tuple[str, str]]]:
    """Return (text, ground) and (line, ground) of every rule but those of what is switched off (WCAG leaves it out)."""
    texts, lines = set(), set()
    for selector, body in re.findall(r"([^{}]+)[{]([^{}]*)[}]", style_sheet()):
        if ":disabled" in selector:
            continue
        said = dict(re.findall(r"([a-z-]+): ([^;]+);", body))
        around = ("rail",) if "#rail" in selector else ("paper", "sheet")
        for text_key, ground_key in TEXT_KEYS:
            ground, text = names_in(said.get(ground_key, "")), names_in(said.get(text_key, ""))
            if text or (ground and not any(part in f"{selector}{{" for part in WITHOUT_TEXT)):
                texts |= {(one, on) for one in text or ("ink",) for on in ground or around}
        for key in ("border", "border-color", "border-left"):
            own = names_in(said.get("background", ""))
            lines |= {
                (one, on)
                for one in names_in(said.get(key, ""))
                for on in own or around
                if one not in {"line", on}
            }
    return texts, lines


def names_in(value: str) -> tuple[str, ...]:
    return tuple(name for name in re.findall(r"[$](\w+)", value) if name not in {"icons", "name"})


def test_every_pair_of_the_style_sheet_is_one_that_is_reckoned() -> None:
    texts, lines = pairs_of_the_style_sheet()
    assert len(texts) > 10
    assert len(lines) > 6
    assert texts <= set(TEXT_PAIRS), texts - set(TEXT_PAIRS)
    assert lines <= set(GRAPHIC_PAIRS) | set(TEXT_PAIRS), lines - set(GRAPHIC_PAIRS) - set(TEXT_PAIRS)


def test_every_colour_but_the_idle_line_is_in_a_pair() -> None:
    paired = {name for pair in (*TEXT_PAIRS, *GRAPHIC_PAIRS) for name in pair}
    colour_names = {name for name in LIGHT.__dataclass_fields__ if re.match("#", str(getattr(LIGHT, name)))}
    assert colour_names - paired == {"line"}


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_what_qt_paints_itself_can_be_read(qapp: QApplication, look: Colours) -> None:
    theme.apply(qapp, look.name, large=False)
    palette, role = qapp.palette(), QPalette.ColorRole
    pairs = (
        (role.WindowText, role.Window), (role.Text, role.Base), (role.Text, role.AlternateBase),
        (role.ButtonText, role.Button), (role.HighlightedText, role.Highlight), (role.ToolTipText, role.ToolTipBase),
        (role.PlaceholderText, role.Base), (role.Link, role.Window), (role.Link, role.Base),
    )  # fmt: skip
    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive):
        for text, ground in pairs:
            named = [palette.color(group, part).name() for part in (text, ground)]
            assert colours.contrast(*named) >= 4.5, (group, text, ground)
    theme.apply(qapp, "light", large=False)


def test_the_style_sheet_names_known_colours_only() -> None:
    text = style_sheet()
    assert not re.findall(r"#[0-9A-Fa-f]{6}\b|\brgb", text), "a colour without a name"
    known = set(LIGHT.__dataclass_fields__) | {"icons"}
    assert set(re.findall(r"\$(\w+)", text)) <= known


def test_both_looks_and_large_type_apply(qapp: QApplication) -> None:
    theme.apply(qapp, "light", large=False)
    plain = qapp.font().pointSizeF()
    theme.apply(qapp, "dark", large=True)
    assert qapp.font().pointSizeF() == pytest.approx(plain * theme.LARGE)
    assert qapp.palette().color(QPalette.ColorRole.Window).name().upper() == DARK.paper
    theme.apply(qapp, "dark", large=True)
    assert qapp.font().pointSizeF() == pytest.approx(plain * theme.LARGE), (
        "type grew with every change of look"
    )
    theme.apply(qapp, "light", large=False)
    assert qapp.font().pointSizeF() == pytest.approx(plain)


def test_numerals_are_of_one_width(qapp: QApplication) -> None:
    theme.apply(qapp, "light", large=False)
    measure = QFontMetricsF(qapp.font())
    assert len({measure.horizontalAdvance(digit * 10) for digit in "0123456789"}) == 1
