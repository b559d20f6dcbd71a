"""The Farm screen: set the farm up, guided from an empty file to the first round."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import setup
from bayround.facts.farm import Bay, House, Person
from bayround.facts.season import SeasonFacts
from bayround.window.desk import Desk
from bayround.window.farm.bay_form import BayForm, standing_planting
from bayround.window.farm.form import Form
from bayround.window.farm.house_form import HouseForm
from bayround.window.farm.next_step import Step, next_step, steps_text, text_of
from bayround.window.farm.person_form import PersonForm
from bayround.window.farm.setup_tree import SetupTree
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.screen import Screen
from bayround.words import _


class FarmScreen(Screen):
    """A tree of people, houses and bays at the left, the form of the chosen one at the right."""

    name = "farm"
    title = "Farm"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.known: SeasonFacts | None = None
        self.tree = SetupTree()
        self.guide = QLabel()
        self.guide.setWordWrap(True)
        self.guide.setObjectName("quiet")
        self.person_form = PersonForm(desk)
        self.house_form = HouseForm(desk)
        self.bay_form = BayForm(desk)
        self.empty = EmptyState()
        self.forms = QStackedWidget()
        self._scrolls: dict[QWidget, QScrollArea] = {}
        self._shown_id = ""
        self._lay_out()
        self._join()

    def show_again(self, key: str = "") -> None:
        """Read the set-up again; *key* is the id of a person, house, bay or planting to show."""
        farm = self.desk.farm
        self.desk.tasks.ask(lambda: setup.read(farm), lambda known: self._show(known, key))

    def commit_open_edit(self) -> bool:
        """Keep the open form; false when it was refused or is doubtful."""
        form = self._form()
        return form is None or form.commit()

    def kept(self) -> dict[str, str]:
        """Return whose form is open."""
        return {"key": self._shown_id}

    def first_focus(self) -> QWidget:
        """Return the tree, or the button of the empty farm."""
        is_guide = self.known is not None and self.forms.currentWidget() is self.empty
        return self.empty.button if is_guide else self.tree

    def add_next(self) -> None:
        """Start on what comes next: the guided step, or what fits the place in the tree (Ctrl+N)."""
        if self.known is None or not self.commit_open_edit():
            return
        step = next_step(self.known) or self._step_here()
        if step is Step.PERSON:
            self._new_person()
        elif step is Step.HOUSE:
            self._new_house()
        elif step is Step.BAY:
            self._new_bay()
        else:
            self._to_bay_without(step)

    def _lay_out(self) -> None:
        add_row = QHBoxLayout()
        add_row.setSpacing(4)
        for text, name, act in (
            (_("+ Person"), _("Add a person"), self._new_person),
            (_("+ House"), _("Add a house"), self._new_house),
            (_("+ Bay"), _("Add a bay"), self._new_bay),
        ):
            button = QPushButton(text)
            button.setAccessibleName(name)
            button.clicked.connect(lambda _checked=False, act=act: act() if self.commit_open_edit() else None)
            add_row.addWidget(button)
        left = QWidget()
        left.setMinimumWidth(288)
        left.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)
        column = QVBoxLayout(left)
        column.setContentsMargins(16, 8, 8, 8)
        column.setSpacing(8)
        column.addWidget(self.tree, 1)
        column.addLayout(add_row)
        column.addWidget(self.guide)
        for form in (self.person_form, self.house_form, self.bay_form):
            area = QScrollArea()
            area.setWidgetResizable(True)
            area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            area.setWidget(form)
            self._scrolls[form] = area
            self.forms.addWidget(area)
        self.forms.addWidget(self.empty)
        self.forms.setCurrentWidget(self.empty)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(left)
        layout.addWidget(self.forms, 1)

    def _join(self) -> None:
        self.tree.currentItemChanged.connect(lambda _now, _before: self._tree_moved())
        self.tree.itemActivated.connect(lambda _item, _column: self._focus_form())
        for form in (self.person_form, self.house_form, self.bay_form):
            form.saved.connect(self.show_again)
            form.left.connect(lambda: self._show_node(self._shown_id))
        QShortcut(QKeySequence("Ctrl+N"), self).activated.connect(self.add_next)
        QShortcut(QKeySequence("Ctrl+S"), self).activated.connect(self._save)

    def _show(self, known: SeasonFacts, key: str) -> None:
        self.known = known
        in_bay = {planting.id: planting.bay_id for planting in known.plantings}
        wanted = in_bay.get(key, key) or self._shown_id
        self.tree.show_farm(known, wanted)
        step = next_step(known)
        self.guide.setText(
            _("Next: {step}  (Ctrl+N)").format(step=text_of(step))
            if step
            else _("The farm is ready for a round. Ctrl+N adds another; Ctrl+2 goes to Visit.")
        )
        form = self._form()
        if form is not None and form.is_changed and wanted == self._shown_id:
            self.bay_form.refresh_plants(known)
            return
        from_guide = self.empty.isAncestorOf(self.focusWidget() or self)
        self._show_node(wanted)
        if from_guide and self.forms.currentWidget() is not self.empty:
            self.tree.setFocus(Qt.FocusReason.OtherFocusReason)
        elif step and self.forms.currentWidget() is self.empty and self.tree.hasFocus():
            self.empty.button.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_node(self, record_id: str) -> None:
        """Show the form of a record; without one the guide."""
        assert self.known is not None
        self.tree.blockSignals(True)
        there = self.tree.choose(record_id)
        self.tree.blockSignals(False)
        node = self.tree.node if there else None
        self._shown_id = record_id if node is not None else ""
        if isinstance(node, Person):
            self.person_form.show_person(node)
            self._raise(self.person_form)
        elif isinstance(node, House):
            self.house_form.show_house(node, self.known)
            self._raise(self.house_form)
        elif isinstance(node, Bay):
            house = next(item for item in self.known.houses if item.id == node.house_id)
            self.bay_form.show_bay(house, node, self.known)
            self._raise(self.bay_form)
        else:
            self._show_guide()

    def _show_guide(self) -> None:
        assert self.known is not None
        step = next_step(self.known)
        heading = _("Set the farm up") if step else _("The farm is set up")
        button = (
            _("&Next: {step}").format(step=text_of(step).split(":")[0].lower())
            if step
            else _("&Key in a round")
        )
        act = self.add_next if step else (lambda: self.desk.go("visit", ""))
        self.empty.say(heading, steps_text(self.known), button, act)
        self.forms.setCurrentWidget(self.empty)

    def _tree_moved(self) -> None:
        node = self.tree.node
        wanted = node.id if node is not None else ""
        if wanted == self._shown_id and node is not None:
            return
        if self.commit_open_edit():
            self._show_node(wanted)
        else:
            self.tree.blockSignals(True)
            self.tree.choose(self._shown_id)
            self.tree.blockSignals(False)

    def _form(self) -> Form | None:
        return next(
            (form for form, area in self._scrolls.items() if area is self.forms.currentWidget()), None
        )  # type: ignore[return-value]

    def _raise(self, form: Form) -> None:
        self.forms.setCurrentWidget(self._scrolls[form])

    def _save(self) -> None:
        form = self._form()
        if form is not None:
            form.save()

    def _focus_form(self) -> None:
        form = self._form()
        if form is not None:
            form.fields[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def _step_here(self) -> Step:
        node = self.tree.node
        if isinstance(node, Bay) and self.known is not None:
            planting = standing_planting(self.known, node, self.desk)
            if planting is None:
                return Step.PLANTING
            if not any(plant.planting_id == planting.id for plant in self.known.marked_plants):
                return Step.PLANTS
        if isinstance(node, Bay | House):
            return Step.BAY
        return Step.PERSON if isinstance(node, Person) else Step.HOUSE

    def _new_person(self) -> None:
        self._shown_id = ""
        self.person_form.show_person(None)
        self._raise(self.person_form)
        self.person_form.name.setFocus(Qt.FocusReason.OtherFocusReason)

    def _new_house(self) -> None:
        if self.known is None:
            return
        self._shown_id = ""
        self.house_form.show_house(None, self.known)
        self._raise(self.house_form)
        self.house_form.name.setFocus(Qt.FocusReason.OtherFocusReason)
        self.house_form.name.selectAll()

    def _new_bay(self) -> None:
        house = self._house_here()
        if house is None or self.known is None:
            self.desk.tell(_("A bay needs a house first."))
            return
        self._shown_id = ""
        self.bay_form.show_bay(house, None, self.known)
        self._raise(self.bay_form)
        self.bay_form.name.setFocus(Qt.FocusReason.OtherFocusReason)
        self.bay_form.name.selectAll()

    def _house_here(self) -> House | None:
        node, known = self.tree.node, self.known
        if known is None or not known.houses:
            return None
        house_id = node.id if isinstance(node, House) else node.house_id if isinstance(node, Bay) else ""
        return next((house for house in known.houses if house.id == house_id), known.houses[-1])

    def _to_bay_without(self, step: Step) -> None:
        """Go to the first bay that lacks its crop or its marked plants, and to the field for it."""
        assert self.known is not None
        if not isinstance(self.tree.node, Bay):
            self._show_node(self.known.bays[0].id)
        field = self.bay_form.planting.crop if step is Step.PLANTING else self.bay_form.plants.wanted
        field.setFocus(Qt.FocusReason.OtherFocusReason)
