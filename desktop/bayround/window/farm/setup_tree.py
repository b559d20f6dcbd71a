"""People, houses and bays as a tree."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTreeWidget, QTreeWidgetItem, QTreeWidgetItemIterator, QWidget

from bayround.facts.farm import Bay, House, Person
from bayround.facts.season import SeasonFacts, walk_order
from bayround.words import _

Node = Person | House | Bay
_NODE = Qt.ItemDataRole.UserRole


class SetupTree(QTreeWidget):
    """Shows the set-up; the node under the cursor is a frozen record, or nothing for a heading."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setHeaderHidden(True)
        self.setAccessibleName(_("People, houses and bays"))
        self.setUniformRowHeights(True)
        self.setIndentation(16)

    @property
    def node(self) -> Node | None:
        """The record under the cursor."""
        item = self.currentItem()
        return None if item is None else item.data(0, _NODE)

    def show_farm(self, known: SeasonFacts, chosen_id: str) -> None:
        """Show the set-up with the cursor on a record; nothing is told to listeners."""
        folded = self._folded()
        self.blockSignals(True)
        self.clear()
        people = self._heading(_("People"))
        for person in sorted(known.people, key=lambda item: (not item.active, item.name.casefold())):
            name = person.name if person.active else _("{name} (no longer here)").format(name=person.name)
            _item(people, f"{name}, {_(person.role.value)}", person)
        bays = walk_order(known.houses, known.bays)
        for house in sorted(known.houses, key=lambda item: (item.position, item.name)):
            branch = _item(self, f"{house.name}, {_(house.kind.value)}", house)
            for bay in (item for item in bays if item.house_id == house.id):
                _item(branch, bay.name, bay)
        for item in self._items():
            item.setExpanded(self._id(item) not in folded)
        self.choose(chosen_id)
        self.blockSignals(False)

    def choose(self, record_id: str) -> bool:
        """Put the cursor on a record; false when it isn't there."""
        for item in self._items():
            if record_id and self._id(item) == record_id:
                self.setCurrentItem(item)
                return True
        return False

    def _heading(self, text: str) -> QTreeWidgetItem:
        item = QTreeWidgetItem(self, [text])
        font = item.font(0)
        font.setBold(True)
        item.setFont(0, font)
        return item

    def _items(self) -> list[QTreeWidgetItem]:
        found, walker = [], QTreeWidgetItemIterator(self)
        while walker.value() is not None:
            found.append(walker.value())
            walker += 1
        return found

    def _folded(self) -> set[str]:
        return {self._id(item) for item in self._items() if item.childCount() and not item.isExpanded()}

    @staticmethod
    def _id(item: QTreeWidgetItem) -> str:
        node = item.data(0, _NODE)
        return node.id if node is not None else item.text(0)


def _item(parent: QTreeWidget | QTreeWidgetItem, text: str, node: Node) -> QTreeWidgetItem:
    item = QTreeWidgetItem(parent, [text])
    item.setData(0, _NODE, node)
    return item
