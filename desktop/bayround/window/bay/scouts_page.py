"""Do the scouts see the same? Where two measured the same plants, and what a change of scout does."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from bayround.actions.insight import BayInsight, ScoutsSeen
from bayround.window.bay.page_parts import BayPage, text_label
from bayround.window.desk import Desk
from bayround.window.parts.figure_chips import FigureChips
from bayround.words import _


class ScoutsPage(BayPage):
    """One part for every two scouts of the farm."""

    title = "Scouts"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.changed = text_label()
        self.how = text_label(
            _(
                "To see whether two scouts count alike, let both walk the same bay on the same day, each in a round of their own; ten plants are enough to see a difference in heights."
            ),
            "quiet",
        )
        self.pairs = QWidget()
        self._inside = QVBoxLayout(self.pairs)
        self._inside.setContentsMargins(0, 0, 0, 0)
        self._inside.setSpacing(8)
        for part in (self.changed, self.pairs, self.how):
            self.column.addWidget(part)
        self.column.addStretch(1)

    def show_insight(self, insight: BayInsight) -> None:
        """Show every two scouts, and whether this bay's newest visit was walked by another one than before."""
        super().show_insight(insight)
        self.changed.setText(
            _(
                "This bay's newest visit was walked by another scout than the one before: read its growth with care."
            )
        )
        self.changed.setVisible(insight.scout_changed)
        while (item := self._inside.takeAt(0)) is not None:
            part = item.widget()
            if part is not None:
                part.hide()
                part.deleteLater()
        for seen in insight.scouts:
            self._add(seen)
        if not insight.scouts:
            self._inside.addWidget(text_label(_("All visits of this farm were walked by one scout.")))

    def _add(self, seen: ScoutsSeen) -> None:
        self._inside.addWidget(text_label(f"{seen.first}, {seen.second}", "heading"))
        if seen.sentence:
            self._inside.addWidget(text_label(seen.sentence))
        figures = [figure for figure in (seen.switch, *seen.agreement) if figure is not None]
        chips = FigureChips()
        chips.show_figures([figure for figure in figures if figure.value is not None])
        self._inside.addWidget(chips)
        if not seen.agreement:
            self._inside.addWidget(
                text_label(_("They never measured the same plants on the same day."), "quiet")
            )
