"""How many plants stand: the number asked for at the end of a bay, and put right in a finished one."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt

from bayround import words
from bayround.window.visit.correcting import Wanted
from bayround.window.visit.keying_page import KeyingPage
from bayround.window.visit.visit_work import VisitWork
from bayround.words import _


def refusal(text: str, planted: int) -> str:
    """Return why a text is no number of standing plants; empty when it is one."""
    if text.isascii() and text.isdigit() and 1 <= int(text) <= planted:
        return ""
    return _("Type a whole number from 1 to {n}.").format(n=planted)


class StandingPlants(QObject):
    """Asks in a finished bay how many plants stood, then why it is corrected; what was kept before stays."""

    def __init__(self, page: KeyingPage, work: VisitWork, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._page, self._work = page, work
        page.bar.stand_wanted.connect(self.ask)

    def ask(self) -> None:
        """Show the number that is kept, to be typed over."""
        hand = self._page.readings.in_hand
        if not hand.done or not self._page.commit_open():
            return
        sheet, line = hand.sheet, self._page.standing
        visit_id, before = sheet.visit.id, sheet.planting.plants

        def keep(text: str) -> None:
            if why := refusal(text, sheet.planted):
                line.notice.say("stop", why)
                return
            self._leave()
            if int(text) != before or not sheet.stand_confirmed:
                self._want(visit_id, before, int(text))

        question = _("How many plants stood in this bay on {day}? Figures take {n} from that day on.")
        line.ask(
            question.format(day=words.day(sheet.visit.visited_on), n=before),
            _("Standing plants"),
            keep,
            self._leave,
        )
        line.line.setText(str(before))
        line.line.selectAll()

    def _want(self, visit_id: str, before: int, plants: int) -> None:
        def put_right(reason: str) -> None:
            self._page.message.say(_("Corrected: {reason}.").format(reason=reason))
            self._work.correct_stand(visit_id, before, plants, reason)

        self._page.correcting.want(Wanted(frozenset({("stand", visit_id)}), put_right, self.ask))

    def _leave(self) -> None:
        self._page.standing.hide()
        self._page.grid.setFocus(Qt.FocusReason.OtherFocusReason)
