"""The crop part of the bay form: crop, variety, day, plants, stems; and the day the crop was removed."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from bayround.facts.farm import ColourAim, Planting
from bayround.facts.ids import new_id
from bayround.window.desk import Desk
from bayround.window.farm.form import Field, choose, problem_of
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.day_field import DayField
from bayround.window.parts.whole_table import roomy_list
from bayround.words import _

_TRAINING = (
    "two stems on strings",
    "one stem on string",
    "three stems on strings",
    "between wires",
    "untrained",
)


class PlantingPart(QWidget):
    """Holds the fields (the form lays them out) and turns them into a `Planting`.

    Attributes:
        removed: the crop is to be noted as removed on the day typed.
    """

    removed = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.planting: Planting | None = None
        self.crop = QComboBox()
        self.crop.addItem(_("No crop"), "")
        for key, profile in sorted(desk.farm.crops.profiles.items(), key=lambda item: item[1].name):
            self.crop.addItem(_(profile.name), key)
        self.variety = QLineEdit()
        self.planted = DayField(_("Transplanted on"), start=desk.today())
        self.plants = AmountField(_("Plants"), low=1, high=1_000_000)
        self.stems = AmountField(_("Stems per plant"), low=1, high=20)
        self.training = QComboBox()
        self.training.setEditable(True)
        self.training.addItems(["", *(_(text) for text in _TRAINING)])
        roomy_list(self.training)
        self.aim = QComboBox()
        for aim in ColourAim:
            self.aim.addItem(_(aim.value.capitalize()), aim)
        self.removed_on = DayField(_("Crop removed on"), start=desk.today())
        self.removal = self._build_removal()
        self.crop.currentIndexChanged.connect(self._crop_chosen)
        self.hide()

    @property
    def has_crop(self) -> bool:
        """Whether a crop is chosen."""
        return bool(self.crop.currentData())

    def rows(self) -> tuple[tuple[str, Field, str], ...]:
        """Return label, field and unit of each row."""
        return (
            (_("&Crop"), self.crop, ""),
            (_("&Variety"), self.variety, ""),
            (_("&Transplanted on"), self.planted, ""),
            (_("Plants"), self.plants, ""),
            (_("Ste&ms per plant"), self.stems, ""),
            (_("Tra&ining"), self.training, ""),
            (_("Picke&d"), self.aim, ""),
        )

    def show_planting(self, planting: Planting | None, like: Planting | None = None) -> None:
        """Show a planting; without one an empty part, or the same crop as *like* for a new bay."""
        self.planting = planting
        shown = planting or like
        choose(self.crop, shown.crop if shown else "")
        self.variety.setText(shown.variety if shown else "")
        self.planted.show_day(shown.transplanted_on if shown else None)
        self.plants.show_amount(shown.plants if shown else None)
        self.stems.show_amount(shown.stems_per_plant if shown else 2)
        self.training.setCurrentText(shown.training if shown else "")
        line = self.training.lineEdit()
        if line is not None:
            line.setCursorPosition(0)
        choose(self.aim, shown.colour_aim if shown else ColourAim.COLOURED)
        self.removed_on.show_day(None)
        self.removal.setVisible(planting is not None)
        self._crop_chosen()

    def problems(self) -> list[str]:
        """Return what is wrong; nothing is asked for where no crop stands."""
        if not self.has_crop:
            return (
                [_("A crop that stands can't be taken out here; note the day it was removed.")]
                if self.planting
                else []
            )
        found = [text for _label, field, _unit in self.rows() if (text := problem_of(field))]
        if self.planted.day() is None and not self.planted.problem():
            found.append(_("The day of transplanting is needed."))
        if self.plants.amount() is None and not self.plants.problem():
            found.append(_("The number of plants is needed."))
        if self.stems.amount() is None and not self.stems.problem():
            found.append(_("Stems per plant is needed."))
        return found

    def typed(self, bay_id: str) -> Planting | None:
        """Return the planting as typed, or nothing where no crop is chosen or a number is missing."""
        planted, plants = self.planted.day(), self.plants.whole()
        if not self.has_crop or planted is None or plants is None:
            return None
        base = self.planting or Planting(new_id(), bay_id, "", "", planted, plants)
        return replace(
            base,
            crop=str(self.crop.currentData()),
            variety=self.variety.text().strip(),
            transplanted_on=planted,
            plants=plants,
            stems_per_plant=self.stems.whole() or 0,
            training=self.training.currentText().strip(),
            colour_aim=self.aim.currentData(),
        )

    def _build_removal(self) -> QFrame:
        frame = QFrame()
        row = QHBoxLayout(frame)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        label = QLabel(_("Crop removed on"))
        label.setBuddy(self.removed_on)
        button = QPushButton(_("Note removal"))
        button.clicked.connect(self.removed)
        self.removed_on.setMaximumWidth(120)
        for part in (label, self.removed_on, button):
            row.addWidget(part)
        return frame

    def _crop_chosen(self) -> None:
        for field in (self.variety, self.planted, self.plants, self.stems, self.training, self.aim):
            field.setEnabled(self.has_crop)
