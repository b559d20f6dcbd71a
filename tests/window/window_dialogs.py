"""Every dialog of the window, opened one after the other on a copy of a farm as a person would come to it."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import cast

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog
from window_hands import NOW, TODAY, Answers

from bayround import places
from bayround.actions import backups, pins, rounds, setup
from bayround.actions import farm as farm_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.problems import FarmFileProblem
from bayround.facts.rounds import VisitState
from bayround.records import backup, corrections
from bayround.records.read_season import read_season
from bayround.window.main_window import MainWindow
from bayround.window.parts.conflict_dialog import ConflictDialog
from bayround.window.parts.damaged_dialog import DamagedDialog
from bayround.window.parts.explain import explain
from bayround.window.parts.progress import ProgressDialog
from bayround.window.parts.server_dialog import ServerDialog
from bayround.window.visit import second_pass
from bayround.window.visit.screen import VisitScreen

Settled = Callable[[], None]
Shown = Iterator[tuple[str, QDialog]]
PIN = "4711"


def every_dialog(window: MainWindow, farm: OpenFarm, folder: Path, settled: Settled) -> Shown:
    """Yield each dialog with its name while it shows; *farm* is written to, files go to *folder*."""
    window.go("week")
    settled()
    for part in (_menus, _papers, _imports, _laptops, _backups, _people, _figures, _visit):
        for name, dialog in part(window, farm, folder, settled):
            settled()
            yield name, dialog
            dialog.reject()
            settled()


def _menus(window: MainWindow, _farm: OpenFarm, _folder: Path, settled: Settled) -> Shown:
    for name in ("search", "about"):
        window.actions_made[name].trigger()
        settled()
        yield name, _front(window)
    for screen in (
        "week",
        "visit",
        "bay",
        "jobs",
        "farm",
        "treatments",
        "picks",
        "profiles",
        "trials",
        "season",
    ):
        window.go(screen)
        settled()
        window.actions_made["help"].trigger()
        settled()
        yield f"help {screen}", _front(window)
    server = ServerDialog(parent=window)
    server.open()
    yield "server", server
    refused = ServerDialog("nonsense:///", window)
    refused.open()
    refused.open_button.click()
    yield "server refused", refused
    progress = ProgressDialog("Reading “loggers of the south net house.csv” …", window)
    progress.open()
    progress.report(2, 5, "Comparing with the farm …")
    QTest.qWait(400)
    yield "progress", progress


def _papers(window: MainWindow, _farm: OpenFarm, folder: Path, settled: Settled) -> Shown:
    window.go("week")
    settled()
    window.actions_made["job sheets"].trigger()
    settled()
    if window.papers.people is not None:
        yield "job sheets", window.papers.people
    for name, file in (("package", "data package.zip"), ("walk", "walk sheets.pdf")):
        window.desk.questions = Answers(path=folder / file)
        window.actions_made[name].trigger()
        _until(settled, lambda: window.papers.message is not None)
        assert window.papers.message is not None
        yield name, window.papers.message
        window.papers.message = None
    window.desk.questions = Answers(path=folder / "week.xlsx")
    window.actions_made["close week"].trigger()
    _until(settled, lambda: window.handover.message is not None)
    assert window.handover.message is not None
    yield "handed over", window.handover.message


def _imports(window: MainWindow, farm: OpenFarm, folder: Path, settled: Settled) -> Shown:
    house = setup.read(farm).houses[0]
    files = {
        "which kind.csv": f"when;cold;warm;where\n{TODAY:%d.%m.%Y};9;31;{house.name}\n",
        "which house.csv": "Day;Min temp (°C);Max temp (°C)\n23.11.2026;12,5;29,0\nsomeday;1;2\n",
        "climate.csv": "house;day;low_c;high_c\n"
        + "".join(f"{house.name};2026-11-{day:02};12.5;29\n" for day in range(1, 20))
        + "Nowhere;2026-11-02;9;8\n",
    }
    for name, text in files.items():
        path = folder / name
        path.write_text(text, encoding="utf-8")
        window.desk.questions = Answers(path=path)
        window.bringing.dialog = None
        window.actions_made["bring in"].trigger()
        _until(settled, lambda: window.bringing.dialog is not None)
        dialog = window.bringing.dialog
        assert dialog is not None
        yield f"bring in, {path.stem}", dialog
    dialog.accept()
    settled()
    window.actions_made["take back"].trigger()
    settled()
    assert window.bringing.dialog is not None
    yield "take back", window.bringing.dialog


def _laptops(window: MainWindow, farm: OpenFarm, folder: Path, settled: Settled) -> Shown:
    other = folder / "other laptop.bayround"
    shutil.copyfile(farm.path, other)
    readings = read_season(farm.store).readings[:3]
    for reading in readings:
        corrections.correct(farm.store, "reading", reading.id, "height_cm", 77.0, None, NOW, "tape slipped")
    with closing(farm_actions.open_farm(other)) as there:
        for reading in readings:
            corrections.correct(
                there.store, "reading", reading.id, "height_cm", 88.0, None, NOW, "read again"
            )
    window.desk.questions = Answers(path=other)
    window.actions_made["merge"].trigger()
    settled()
    assert window.merging.dialog is not None
    yield "merge", window.merging.dialog
    window.merging.dialog.accept()
    _until(settled, lambda: isinstance(window.merging.dialog, ConflictDialog))
    assert window.merging.dialog is not None
    yield "decide", window.merging.dialog


def _backups(window: MainWindow, farm: OpenFarm, folder: Path, settled: Settled) -> Shown:
    window.actions_made["restore"].trigger()
    settled()
    settled()
    assert window.restoring.dialog is not None
    yield "restore", window.restoring.dialog
    path = folder / "damaged farm.bayround"
    shutil.copyfile(farm.path, path)
    with closing(farm_actions.open_farm(path)) as whole:
        backup.back_up(whole.store, places.backups_dir(path), NOW)
    with path.open("rb+") as stream:
        stream.seek(4096 * 30)
        stream.write(b"\xff" * 4096)
    offer = backups.offer(path)
    assert offer is not None
    try:
        farm_actions.open_farm(path).close()
    except FarmFileProblem as problem:
        damaged = DamagedDialog(problem, offer, window)
        damaged.open()
        yield "damaged", damaged


def _people(window: MainWindow, farm: OpenFarm, _folder: Path, settled: Settled) -> Shown:
    person = sorted(setup.read(farm).people, key=lambda one: one.name)[0]
    pins.set_pin(farm, person.id, PIN, "", None, NOW)
    window.go("farm")
    window.go("week")
    settled()
    window._refresh_header()
    settled()
    window.whose.choose(person.id)
    dialog = window.whose.dialog
    assert dialog is not None
    yield "PIN", dialog
    window.whose.choose(person.id)
    dialog = window.whose.dialog
    assert dialog is not None
    dialog.pin.setText("1")
    dialog.go_on.click()
    settled()
    yield "PIN wrong", dialog
    window.whose.hand_over("Nobody typed for 10 minutes. Who sits here now?")
    dialog = window.whose.dialog
    assert dialog is not None
    yield "hand over", dialog


def _figures(window: MainWindow, farm: OpenFarm, _folder: Path, settled: Settled) -> Shown:
    window.go("week")
    settled()
    snapshot = window.desk.weeks.picture(farm, None, TODAY)
    bay = next(one for one in snapshot.bays if one.figures["growth_cm_week"].value is not None)
    for name in ("growth_cm_week", "fruit_m2", "incidence_percent"):
        if name in bay.figures:
            yield f"how do you know, {name}", explain(bay.figures[name], window)


def _visit(window: MainWindow, farm: OpenFarm, _folder: Path, settled: Settled) -> Shown:
    walked = rounds.rounds(farm)[0]
    stop = next(stop for stop in rounds.walk(farm, walked.id) if stop.state is VisitState.DONE)
    window.go("visit", stop.bay.id)
    settled()
    page = cast(VisitScreen, window.pages.current).page
    second_pass.start(page)
    settled()
    dialog = next(one for one in window.findChildren(second_pass.SecondPassDialog) if one.isVisible())
    yield "second pass", dialog
    second_pass.start(page)
    settled()
    dialog = next(one for one in window.findChildren(second_pass.SecondPassDialog) if one.isVisible())
    for place, one in enumerate(dialog.asked):
        assert dialog.editor is not None
        dialog.editor.setText(f"{one.first + (place == 3):g}")
        dialog._take(dialog.editor)
    yield "second pass, differs", dialog


def _front(window: MainWindow) -> QDialog:
    found = [dialog for dialog in window.findChildren(QDialog) if dialog.isVisible()]
    assert found, "no dialog opened"
    return next((dialog for dialog in found if dialog is QApplication.activeModalWidget()), found[-1])


def _until(settled: Settled, done: Callable[[], bool]) -> None:
    for _again in range(200):
        settled()
        if done():
            return
        QTest.qWait(25)
