"""A farm file that can't be opened: the newest good backup, what would be missing, and saving what can be read."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.actions.backups import Offer
from bayround.facts.problems import Problem
from bayround.words import _, counted

RESTORE, SALVAGE, NOTHING = "restore", "salvage", ""


class DamagedDialog(QDialog):
    """Asks what to do; Escape does nothing.

    Attributes:
        wanted: RESTORE, SALVAGE or NOTHING, once it is closed.
    """

    def __init__(self, problem: Problem, offer: Offer, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.wanted = NOTHING
        self.setWindowTitle(_("This farm can't be opened"))
        self.setMinimumWidth(640)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(12)
        heading = _label(problem.message)
        heading.setObjectName("heading")
        lines = [heading.text(), problem.kept, *_about(offer)]
        layout.addWidget(heading)
        for line in lines[1:]:
            if line:
                layout.addWidget(_label(line))
        layout.addStretch(1)
        layout.addLayout(self._buttons(offer))
        self.resize(640, layout.totalHeightForWidth(640))
        self.setAccessibleName(heading.text())
        self.setAccessibleDescription(" ".join(lines[1:]))

    def _buttons(self, offer: Offer) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        self.buttons: dict[str, QPushButton] = {}
        entries = [(NOTHING, _("&Cancel"))]
        if offer.path.is_file():
            entries.append((SALVAGE, _("&Save what can be read")))
        if offer.backup is not None:
            entries.append((RESTORE, _("&Restore that backup")))
        for wanted, text in entries:
            button = QPushButton(text)
            button.setDefault(wanted == entries[-1][0])
            button.setProperty("main", wanted != NOTHING and wanted == entries[-1][0])
            button.clicked.connect(lambda _checked=False, wanted=wanted: self._choose(wanted))
            self.buttons[wanted] = button
            row.addWidget(button)
        self.buttons[entries[-1][0]].setFocus()
        return row

    def _choose(self, wanted: str) -> None:
        self.wanted = wanted
        self.accept() if wanted else self.reject()


def _about(offer: Offer) -> list[str]:
    lines = []
    backup = offer.backup
    if backup is None:
        lines.append(_("There is no good backup beside it."))
    else:
        bays = counted("{n} bay", "{n} bays", backup.bays or 0)
        readings = counted("{n} reading", "{n} readings", backup.readings or 0)
        lines.append(_("The newest good backup is of {moment}: {bays}, {readings}, last round {day}.").format(
            moment=backup.made_text, bays=bays, readings=readings, day=backup.last_round))  # fmt: skip
        lines.append(_("Restoring it: {lines}. The damaged file is kept aside.").format(
            lines="; ".join(line.rstrip(".") for line in offer.lines)))  # fmt: skip
    if offer.path.is_file():
        lines.append(
            _(
                "Saving what can be read writes a new farm file beside it; what the damage hides comes from the "
                "backup. Look it through before you go on with it."
            )
        )
    return lines


def _label(text: str) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    return label
