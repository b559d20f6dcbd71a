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
