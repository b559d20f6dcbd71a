"""The look of the window: palette, style sheet and font from the named colours, light or dark, large or not."""

from __future__ import annotations

from string import Template

from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import QApplication

from bayround import places, settings
from bayround.window import colours
from bayround.window.colours import Colours

GRID = 8
"""Spacing comes in multiples of this many pixels."""

LARGE = 1.3
_SMALLEST_POINTS = 10.0
_shown: Colours = colours.LIGHT
_plain_points: float | None = None
_applied: tuple[str, bool] | None = None


def now() -> Colours:
    """Return the colours of the look that is shown, for parts that paint themselves."""
    return _shown


def apply(app: QApplication, look: str, large: bool) -> None:
    """Give the whole program one look."""
    global _shown, _applied
    if _applied == (look, large):
        return  # setting a style sheet dresses every part of every window anew
    _applied = (look, large)
    _shown = colours.of(look)
    if app.style().name() != "fusion":
        app.setStyle("Fusion")
    app.setPalette(_palette(_shown))
    app.setFont(_font(app, large))
    app.setStyleSheet(_style_sheet(_shown))


def apply_chosen(app: QApplication) -> None:
    """Give the program the look that was chosen on this computer."""
    apply(app, str(settings.read(settings.THEME)), bool(settings.read(settings.LARGE_TYPE)))


def numerals(font: QFont) -> QFont:
    """Return *font* with numerals of one width, so that columns of numbers line up."""
    even = QFont(font)
    even.setFeature(QFont.Tag("tnum"), 1)
    return even


def scaled(font: QFont, factor: float, bold: bool = False) -> QFont:
    """Return *font* in another size."""
    other = QFont(font)
    other.setPointSizeF(font.pointSizeF() * factor)
    other.setBold(bold)
    return other


def _font(app: QApplication, large: bool) -> QFont:
    global _plain_points
    font = numerals(app.font())
    if _plain_points is None:
        _plain_points = max(font.pointSizeF(), _SMALLEST_POINTS)
    font.setPointSizeF(_plain_points * (LARGE if large else 1.0))
    return font


def _palette(look: Colours) -> QPalette:
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: look.paper,
        QPalette.ColorRole.WindowText: look.ink,
        QPalette.ColorRole.Base: look.sheet,
        QPalette.ColorRole.AlternateBase: look.stripe,
        QPalette.ColorRole.Text: look.ink,
        QPalette.ColorRole.Button: look.paper,
        QPalette.ColorRole.ButtonText: look.ink,
        QPalette.ColorRole.Highlight: look.chosen,
        QPalette.ColorRole.HighlightedText: look.ink,
        QPalette.ColorRole.ToolTipBase: look.sheet,
        QPalette.ColorRole.ToolTipText: look.ink,
        QPalette.ColorRole.PlaceholderText: look.quiet,
        QPalette.ColorRole.Link: look.accent,
        QPalette.ColorRole.Mid: look.line,
        QPalette.ColorRole.Dark: look.edge,
    }
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.WindowText, QPalette.ColorRole.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(look.quiet))
    return palette


def _style_sheet(look: Colours) -> str:
    template = (places.resources_dir() / "style" / "window.qss").read_text(encoding="utf-8")
    names = {
        name: value for name in look.__dataclass_fields__ if isinstance(value := getattr(look, name), str)
    }
    icons = (places.resources_dir() / "icons").as_posix()
    return Template(template).substitute(names, icons=icons)
