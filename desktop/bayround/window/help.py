"""What F1 says: the keys of a screen and what to do next on it."""

from __future__ import annotations

from dataclasses import dataclass

from bayround.words import _


@dataclass(frozen=True, slots=True)
class Help:
    """*next_step* says what a person does here; *keys* are (keys, what they do)."""

    next_step: str
    keys: tuple[tuple[str, str], ...]


def of_screen(name: str) -> Help:
    """Return the help of one screen.

    Raises:
        KeyError: when there is no such screen.
    """
    return (_of_rounds() | _of_work() | _of_care() | _of_houses() | _of_set_up() | _of_looking_back())[name]


def _of_rounds() -> dict[str, Help]:
    """Return the help of the screens of the round."""
    return {
        "week": Help(
            _(
                "See where every bay stands. Late rounds are on top; open a bay to see why, or step through the weeks."
            ),
            (
                ("Alt+Left, Alt+Right", _("The week before, the week after")),
                (_("Arrow keys"), _("Walk through the table or over the map")),
                ("Enter", _("Open the bay")),
                ("F4", _("How do you know? The rule and the numbers behind the figure under the cursor")),
                ("F7", _("Sort by the column under the cursor; again: the other way; again: worst first")),
                ("Ctrl+F", _("Filter the bays")),
                ("Alt+S", _("Choose what the map is shaded by")),
            ),
        ),
        "visit": Help(
            _("Key in what was seen, bay after bay. Every cell is kept as soon as you leave it."),
            _keys_of_visit(),
        ),
    }


def _keys_of_visit() -> tuple[tuple[str, str], ...]:
    return (
        ("Alt+R", _("Begin a new round")),
        ("Enter", _("On the walk: open the bay. In a cell: keep it and go where the scout went next")),
        ("Ctrl+Enter", _("Finish the bay and open the next one of the walk")),
        (_("Arrow keys"), _("Walk through the cells")),
        ("Escape", _("Leave the cell as it was")),
        ("F2", _("Change what stands in the cell; also to type a longer number than expected")),
        ("+  *  −", _("As at the last visit; as in the row above; no value")),
        ("S, X", _("This plant is skipped; this plant is dead (again: it is not)")),
        (
            "R",
            _("This plant is dead and replaced: another one in its row is marked, last in the table"),
        ),
        ("N, Delete", _("In the pest table: none found; in the tables of a draft: take the row out")),
        (_("Finished bay"), _("Typing corrects it: Enter asks why, once for the bay")),
        ("Ctrl+Z, Ctrl+V", _("Take the last cell back; paste a block from a spreadsheet")),
        ("F6, Shift+F6", _("Next part: plants, pests, cards, weeds, note, side panel; and back")),
        ("F4", _("What the cell was before it was corrected; in the side panel: how do you know?")),
        ("F8", _("Second pass: type a sample of the bay again, unseen, and see how many are alike")),
        (
            "Ctrl+M",
            _(
                "Full numbers move on by themselves (one that may still grow waits for Enter), or all wait for Enter"
            ),
        ),
        ("Ctrl+PgUp, Ctrl+PgDown", _("The bay before, the bay after in the walk")),
        ("Alt+T", _("In a finished bay: put right how many plants stood")),
        ("K, E", _("In the review: it is right; go to the cell")),
    )


def _of_work() -> dict[str, Help]:
    """Return the help of the screens of the work."""
    return {
        "bay": Help(
            _(
                "See one bay's season: heights, fruit, pests and weeds on one time axis, and every reading behind them."
            ),
            (
                ("Alt+Up, Alt+Down", _("The bay before, the bay after in the walk")),
                (_("Left, Right on the charts"), _("Walk through the weeks")),
                (_("Up, Down on the charts"), _("Between the measures; in Compare between the two bays")),
                ("F4", _("How do you know? The figures of the week under the cursor")),
                ("Ctrl+F", _("Filter the readings")),
            ),
        ),
        "jobs": Help(
            _(
                "Give the jobs out, most urgent first; tick them off with the hours they took. The next visit confirms them."
            ),
            (
                ("Ctrl+G", _("Give the job to a person")),
                ("Ctrl+T", _("Note that work on it began")),
                ("Ctrl+D", _("Done, with the hours it took")),
                ("Ctrl+Shift+S", _("Skip it, with a reason")),
                ("Ctrl+J", _("Finished jobs: did they work?")),
                (
                    "F4",
                    _("How do you know? The hours under the cursor, elsewhere the number the job rests on"),
                ),
                ("Ctrl+F", _("Filter the jobs")),
                ("Enter, Escape", _("Keep or leave the form under the job")),
            ),
        ),
    }


def _of_care() -> dict[str, Help]:
    """Return the help of picks, treatments and the condition of houses."""
    return {
        "picks": Help(
            _(
                "Key in the kilograms and fruit of a day, bay after bay. A bay's numbers are kept when you go on to the next; a number that was kept is changed only with a reason."
            ),
            (
                (_("Digits, Enter"), _("Type a number, keep it and go on: kg, fruit, next grade, next bay")),
                (_("Arrow keys"), _("Walk through the cells; up and down keep the row")),
                ("Escape", _("Throw away what was typed in the row")),
                ("Ctrl+D", _("Another day")),
                ("Ctrl+R", _("A row of another colour for this bay")),
                ("F4", _("How do you know? The figure under the cursor")),
            ),
        ),
        "treatments": Help(
            _(
                "Write down what was applied, in which bays, when it ended, with the intervals as the label gives them. From then on bay, map, jobs and workbook say from when the bay may be entered and picked."
            ),
            (
                ("Ctrl+N", _("Write a new treatment down")),
                (_("Enter on the list"), _("Into the form, to put it right; that needs a reason")),
                (_("Space, Ctrl+A on the bays"), _("Tick a bay, tick all")),
                ("Ctrl+S", _("Save the form")),
                ("Escape", _("Throw the typing in this form away")),
                ("Ctrl+F", _("Filter the treatments")),
            ),
        ),
    }


def _of_houses() -> dict[str, Help]:
    """Return the help of what belongs to a whole house."""
    return {
        "house": Help(
            _(
                "Look at the house from outside first. Say for each part what you found; a fault makes a job and keeps people out until a competent person has looked."
            ),
            (
                ("G, F, N", _("Good, fault, not looked at, for the part under the cursor")),
                ("Tab", _("To the note and the next part")),
                ("Ctrl+S", _("Keep the check")),
                ("Escape", _("Back without keeping")),
            ),
        ),
        "climate": Help(
            _(
                "Type lowest and highest temperature of each day; humidity and the light of the day where they are measured. A logger's file comes in with Ctrl+I."
            ),
            (
                (_("Enter, Tab"), _("To the next number")),
                (_("Up, Down"), _("A day later or earlier")),
                ("F4", _("How the figure of the day under the cursor is known")),
                ("Ctrl+S", _("Keep the days typed; a change of a kept day needs a reason")),
                ("Escape", _("Back without keeping")),
            ),
        ),
    }


def _of_set_up() -> dict[str, Help]:
    """Return the help of setting up and the farm's own numbers."""
    return {
        "farm": Help(
            _("Set the farm up: people, houses, bays, their crops and marked plants, in this order."),
            (
                ("Ctrl+N", _("Add what comes next")),
                ("Ctrl+S", _("Save the form")),
                ("Enter", _("To the next field; in the tree, into the form")),
                ("Escape", _("Throw the typing in this form away")),
                (_("Arrow keys in a date"), _("A day later or earlier; Page Up and Page Down a week")),
            ),
        ),
        "profiles": Help(
            _(
                "See where every number of a crop comes from, and put in your farm's own where you know better; what a threshold costs in plants inspected and wrong calls stands under Stop plans."
            ),
            (
                (_("Enter on the table"), _("Into the form: new value, why, Enter keeps it")),
                ("Escape", _("Throw the typing away, back to the table")),
                ("Ctrl+F", _("Filter the numbers")),
                ("Alt+N, Alt+B, Alt+S", _("Numbers and sources, fruit band, stop plans")),
            ),
        ),
    }


def _of_looking_back() -> dict[str, Help]:
    """Return the help of trials and the season."""
    return {
        "trials": Help(
            _(
                "Ask the farm a question: what is compared, on which plots, laid out by chance. The layout decides what may be tested; without replication a trial is described, not tested."
            ),
            (
                ("Ctrl+N", _("Set up a new trial")),
                ("Alt+D", _("Draw the layout")),
                ("Ctrl+S", _("Keep the trial")),
                (_("Enter on the list"), _("What the trial says")),
            ),
        ),
        "season": Help(
            _(
                "Look back on a year: what each variety, house and bay brought, its course over the weeks, its money, and what another choice would have brought. Costs, prices and the wage are typed under Costs and prices."
            ),
            (
                ("Alt+Y, Alt+B", _("The year; what the bays are put together by")),
                ("F4", _("How do you know? The rule and the numbers behind the figure under the cursor")),
                (
                    "F7",
                    _("Sort by the column under the cursor; again: the other way; again: as the bays stand"),
                ),
                (
                    _("Arrow keys in the chart"),
                    _("Left and Right through the weeks, Up and Down through the groups"),
                ),
                ("Alt+R", _("Under What if: reckon the change")),
                ("Alt+E", _("Write the season report; a change reckoned under What if goes with it")),
            ),
        ),
    }
