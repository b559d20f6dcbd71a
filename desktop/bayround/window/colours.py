"""The named colours of the window, light and dark. Nothing else in the window names a colour.

The hues are those of Okabe and Ito (2008, Color Universal Design), darkened or lightened until text reaches
4.5:1 and graphics 3:1 against their ground (WCAG 2.2, 1.4.3 and 1.4.11); a test reckons every pair.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Colours:
    """One look. *paper* is the window's ground, *sheet* that of tables and fields, *ink* what is read."""

    name: str
    paper: str
    sheet: str
    stripe: str
    ink: str
    quiet: str
    line: str
    edge: str
    accent: str
    on_accent: str
    chosen: str
    rail: str
    on_rail: str
    rail_chosen: str
    urgent: str
    urgent_ground: str
    ask: str
    ask_ground: str
    good: str
    good_ground: str
    ramp: tuple[str, ...]
    on_ramp: tuple[str, ...]
    chart_line: str
    chart_second: str
    chart_band: str


LIGHT = Colours(
    name="light",
    paper="#F6F7F2",
    sheet="#FFFFFF",
    stripe="#F8FAF6",
    ink="#17211C",
    quiet="#4E5A53",
    line="#D5DAD2",
    edge="#7D8881",
    accent="#00694F",
    on_accent="#FFFFFF",
    chosen="#D3E9E0",
    rail="#0F3A2E",
    on_rail="#E4F0EA",
    rail_chosen="#F6F7F2",
    urgent="#A33F00",
    urgent_ground="#FCEADF",
    ask="#7A5200",
    ask_ground="#FFF3CF",
    good="#00694F",
    good_ground="#E0F2EA",
    ramp=("#EAF3FA", "#BBD9EE", "#7FB6DD", "#2678B0", "#0A4A7A"),
    on_ramp=("#17211C", "#17211C", "#17211C", "#FFFFFF", "#FFFFFF"),
    chart_line="#0072B2",
    chart_second="#B84F00",
    chart_band="#CFE6DC",
)

DARK = Colours(
    name="dark",
    paper="#151B18",
    sheet="#1C2420",
    stripe="#212A26",
    ink="#E9EEEA",
    quiet="#AEBAB3",
    line="#37423C",
    edge="#7F8C85",
    accent="#4CC9A4",
    on_accent="#07211A",
    chosen="#1F4A3D",
    rail="#0B110E",
    on_rail="#D5E2DB",
    rail_chosen="#151B18",
    urgent="#FF9A5C",
    urgent_ground="#40220F",
    ask="#F0C552",
    ask_ground="#3A300F",
    good="#4CC9A4",
    good_ground="#123328",
    ramp=("#24333D", "#2A506A", "#2B73A3", "#74B4E1", "#C4E2F7"),
    on_ramp=("#E9EEEA", "#FFFFFF", "#FFFFFF", "#0B1A24", "#0B1A24"),
    chart_line="#56B4E9",
    chart_second="#FF9A5C",
    chart_band="#1F4A3D",
)

TEXT_PAIRS: tuple[tuple[str, str], ...] = (
    ("ink", "paper"),
    ("ink", "sheet"),
    ("ink", "stripe"),
    ("ink", "chosen"),
    ("ink", "urgent_ground"),
    ("ink", "ask_ground"),
    ("ink", "good_ground"),
    ("ink", "chart_band"),
    ("quiet", "paper"),
    ("quiet", "sheet"),
    ("quiet", "stripe"),
    ("quiet", "chosen"),
    ("accent", "paper"),
    ("accent", "sheet"),
    ("on_accent", "accent"),
    ("on_rail", "rail"),
    ("accent", "rail_chosen"),
    ("urgent", "paper"),
    ("urgent", "sheet"),
    ("urgent", "stripe"),
    ("urgent", "urgent_ground"),
    ("ask", "ask_ground"),
    ("good", "good_ground"),
)
"""Text and the ground it stands on: at least 4.5:1."""

GRAPHIC_PAIRS: tuple[tuple[str, str], ...] = (
    ("edge", "paper"),
    ("edge", "sheet"),
    ("accent", "paper"),
    ("accent", "chosen"),
    ("chart_line", "sheet"),
    ("chart_second", "sheet"),
    ("chart_line", "chart_band"),
    ("chart_second", "chart_band"),
)
"""Lines, symbols and the ground they stand on: at least 3:1."""


def of(name: str) -> Colours:
    """Return the colours of a look; an unknown name gives the light one."""
    return DARK if name == DARK.name else LIGHT


def luminance(colour: str) -> float:
    """Return the relative luminance, 0 to 1, of ``#RRGGBB`` (WCAG 2.2, sRGB)."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Return the contrast ratio, 1 to 21, of two colours (WCAG 2.2)."""
    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
