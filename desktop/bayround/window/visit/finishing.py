"""Finishing a bay: doubtful numbers and gaps are looked at once, then the visit is closed."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt

from bayround import words
from bayround.facts.rounds import VisitState
from bayround.figures.doubts import CellDoubt
from bayround.week.visit_sheet import VisitSheet
from bayround.window.visit.keying_page import KeyingPage
from bayround.window.visit.review import ReviewItem
from bayround.window.visit.standing_plants import StandingPlants, refusal
from bayround.window.visit.visit_work import VisitWork
from bayround.words import _, counted


class Finishing(QObject):
    """Runs the review and asks for the end of the visit."""

    def __init__(self, page: KeyingPage, work: VisitWork, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._page, self._work = page, work
        self._answered: set[tuple[str, str, str, float]] = set()
        self._stands: set[str] = set()
        self.standing = StandingPlants(page, work, self)
        page.review.let_stand.connect(self._let_stand)
        page.review.go_to.connect(self._go_to)
        page.review.closed.connect(self._close)
        page.review.all_seen.connect(self.start)
        page.bar.finish_wanted.connect(self.start)
        work.not_finished.connect(self._not_finished)

    def start(self) -> None:
        """Ctrl+Enter: finish, or show first what is to be looked at."""
        hand = self._page.readings.hand
        if hand is None or not self._page.isVisible() or not self._page.commit_open():
            return
        if hand.done:
            self._page.message.say(
                _("This bay is finished already; what is typed in it now is a correction.")
            )
            return
        self._work.keeper.retry()
        self._page.rest(_("This bay is being finished, one moment."))
        self._work.read_before_finishing(self._looked_up)

    def _looked_up(self, sheet: VisitSheet) -> None:
        if sheet.visit.id != self._work.visit_id:
            return
        self._page.rest("")
        self._page.show_sheet(sheet)
        if self._work.keeper.not_saved:
            self._page.message.say(
                _(
                    "This bay can't be finished yet: some of it is not saved. It is tried again every few seconds."
                )
            )
            return
        items = self._items(sheet)
        if items:
            self._page.show_review(True)
            self._page.review.show_items(items)
            self._page.review.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        if sheet.visit.state is VisitState.DRAFT:
            self._page.rest(_("This bay is being finished, one moment."))
            self._work.finish()

    def _items(self, sheet: VisitSheet) -> list[ReviewItem]:
        hand = self._page.readings.in_hand
        items = [
            ReviewItem(_doubt_text(doubt, hand.sheet), doubt, (doubt.marked_plant_id, doubt.field))
            for doubt in sheet.open_doubts
            if _name(sheet, doubt) not in self._answered
        ]
        empty = hand.empty_cells()
        if empty:
            one, many = (
                "{n} cell is still empty; K leaves it so.",
                "{n} cells are still empty; K leaves them so.",
            )
            items.append(ReviewItem(counted(one, many, len(empty)), None, hand.cell(*empty[0])))
        if sheet.found_dead and not sheet.stand_confirmed and sheet.visit.id not in self._stands:
            items.append(ReviewItem(_stand_text(sheet), stand=sheet.planting.plants))
        for name, model in self._page.sections.models.items():
            for row in model.half_typed:
                text = _("{name} is half typed; K drops it.").format(name=model.name_of(model.rows[row]))
                items.append(ReviewItem(text, half_typed=(name, row)))
        return items

    def _let_stand(self, item: ReviewItem) -> None:
        hand = self._page.readings.in_hand
        if item.doubt is not None:
            self._answered.add(_name(hand.sheet, item.doubt))
            self._work.let_stand(item.doubt)
        elif item.stand is not None:
            self._confirm(item, item.stand)
        elif item.half_typed is not None:
            name, row = item.half_typed
            self._page.sections.models[name].drop(row)
        else:
            hand.left_out.update(hand.cell(*place) for place in hand.empty_cells())

    def _confirm(self, item: ReviewItem, plants: int) -> None:
        """Keep how many plants stand; refused, the question comes back."""
        visit_id = self._work.visit_id
        self._stands.add(visit_id)
        self._page.review.drop(item)

        def refused(error: BaseException) -> None:
            self._stands.discard(visit_id)
            self._page.message.say(str(error))
            self.start()

        self._work.confirm_stand(plants, refused)

    def _ask_stand(self, item: ReviewItem) -> None:
        """Ask how many plants stand; what was answered leaves the list."""
        review = self._page.review

        def keep(text: str) -> None:
            if why := refusal(text, self._planted()):
                review.ask.notice.say("stop", why)
                return
            review.ask.hide()
            review.list.setFocus(Qt.FocusReason.OtherFocusReason)
            self._confirm(item, int(text))

        question = _("How many plants stand in this bay? Figures per m² take that number from this day on.")
        review.ask.ask(question, _("Standing plants"), keep, review.list.setFocus)

    def _planted(self) -> int:
        return self._page.readings.in_hand.sheet.planted

    def _go_to(self, item: ReviewItem) -> None:
        if item.stand is not None:
            self._ask_stand(item)
            return
        self._page.show_review(False)
        if item.cell is not None:
            self._page.to_cell(item.cell)
        elif item.half_typed is not None:
            name, row = item.half_typed
            table = self._page.sections.tables[name]
            table.setFocus(Qt.FocusReason.OtherFocusReason)
            table.go_to_first(lambda index: index.row() == row and table.entries.value(index) is None)

    def _close(self) -> None:
        self._page.show_review(False)
        self._page.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def _not_finished(self, error: BaseException) -> None:
        self._page.rest("")
        self._page.message.say(_("This bay is not finished: {why}").format(why=error))


def _doubt_text(doubt: CellDoubt, sheet: VisitSheet) -> str:
    field = next(field for field in sheet.fields if field.key == doubt.field)
    value = f"{words.number(doubt.value, field.decimals)} {field.unit}".strip()
    return _("Plant {plant}, {field} {value}: {why}").format(
        plant=doubt.plant_label, field=doubt.field_label, value=value, why=doubt.text
    )


def _stand_text(sheet: VisitSheet) -> str:
    found = counted("{n} marked plant was found dead", "{n} marked plants were found dead", sheet.found_dead)
    return _(
        "{found}; figures take {plants} plants as standing. K: so many stand; E: type another number."
    ).format(found=found, plants=sheet.planting.plants)


def _name(sheet: VisitSheet, doubt: CellDoubt) -> tuple[str, str, str, float]:
    return sheet.visit.id, doubt.marked_plant_id, doubt.field, doubt.value
