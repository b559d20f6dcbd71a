"""From one farm to the next: the welcome page, opening, making, and the window that stands for an open farm."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QMainWindow

from bayround import places, settings
from bayround.actions import data_package, sample, server
from bayround.actions import farm as farm_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.facts.server_address import FarmPlace, ServerAddress, is_server_address, read_place
from bayround.window import errors
from bayround.window.desk import Desk
from bayround.window.main_window import Doors, MainWindow
from bayround.window.parts.questions import DialogQuestions, Questions
from bayround.window.parts.server_dialog import ServerDialog
from bayround.window.rescue import Rescue
from bayround.window.tasks_qt import QtTasks
from bayround.window.welcome import WelcomeWindow
from bayround.words import _

SUFFIX = ".bayround"


class Session(QObject):
    """Holds the one window that is shown and the thread that owns the farm file.

    Attributes:
        window: the welcome page or the open farm's window.
        rescue: what can be done about a farm file that can't be opened.
    """

    def __init__(self, questions: Questions | None = None) -> None:
        super().__init__()
        self.tasks = QtTasks(lambda error: errors.show(error, self.window))
        self.window: QMainWindow | None = None
        self.dialog: ServerDialog | None = None
        self._questions = questions or DialogQuestions()
        self.rescue = Rescue(self.tasks, self._window, self._show_farm, self._show_error, self.open)

    def start(self, place: FarmPlace | None) -> None:
        """Show the farm at *place*, else the one opened last, else the welcome page."""
        chosen = place or _last_place()
        if chosen is None:
            self.welcome()
        else:
            self.open(chosen)
            self.tasks.wait_for(
                lambda: self.window is not None
            )  # the week comes while the window is there already
            if self.window is None:
                self.welcome()

    def end(self) -> None:
        """End the threads; everything asked for is finished first."""
        self.tasks.stop()

    def welcome(self) -> None:
        """Show the welcome page."""
        page = WelcomeWindow()
        ways = {
            "new": self.ask_new,
            "open": self.ask_open,
            "server": self.ask_server,
            "sample": self.open_sample,
        }
        page.wanted.connect(lambda key: ways[key]())
        self._swap(page)

    def open(self, place: FarmPlace, password: str = "") -> None:
        """Open a farm and show it in place of the present one; a password goes into the keyring first."""
        place = place.resolve() if isinstance(place, Path) else place
        if isinstance(self.window, MainWindow) and self.window.desk.farm.place == place:
            self.window.tell(_("This farm is open already."))
            return

        def work() -> OpenFarm:
            if password and isinstance(place, ServerAddress):
                server.keep_password(place, password)
            return farm_actions.open_farm(place)

        def failed(error: BaseException) -> None:
            if isinstance(place, Path):
                self.rescue.offer(place, error)
            else:
                self._show_error(error)

        self.tasks.ask(work, self._show_farm, failed)

    def restore(self, backup: Path) -> None:
        """Close the open farm, put a backup in the place of its file, and open that."""
        window = self.window
        if isinstance(window, MainWindow):
            path = window.desk.farm.path
            self.welcome()  # closes the farm, unless something typed can't be kept
            if self.window is not window:
                self.rescue.restore(path, backup)

    def ask_open(self) -> None:
        """Ask which farm to open."""
        path = self._questions.file_to_open(_("Open a farm"), self._folder(), _farm_files())
        if path is not None:
            self.open(path)

    def ask_server(self) -> None:
        """Ask for the address of a farm on a server."""
        last = str(settings.read(settings.LAST_FARM))
        self.dialog = ServerDialog(last if is_server_address(last) else "", self.window)
        self.dialog.wanted.connect(self.open)
        self.dialog.open()

    def ask_new(self) -> None:
        """Ask where the new farm shall lie; the file's name becomes the farm's."""
        path = self._ask_new_file(_("New farm"), _("My farm"))
        if path is not None:
            self.tasks.ask(
                lambda: farm_actions.create(path, path.stem), self._show_new_farm, self._show_error
            )

    def ask_rebuild(self) -> None:
        """Ask for a data package and where the farm made from it shall lie, make it and open it."""
        kinds = _("Data package (*.zip)")
        source = self._questions.file_to_open(_("Make a farm from a data package"), self._folder(), kinds)
        if source is None:
            return
        path = self._ask_new_file(_("Where the farm shall lie"), source.stem)
        if path is not None:
            self.tasks.ask(
                lambda: data_package.rebuild(source, path), lambda _count: self.open(path), self._show_error
            )

    def _ask_new_file(self, title: str, name: str) -> Path | None:
        """Ask where a new farm file shall lie; nothing when nobody says, or there is one already."""
        path = self._questions.file_to_save(title, self._folder() / (name + SUFFIX), _farm_files())
        if path is None:
            return None
        path = path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX)
        if not path.exists():
            return path
        self._show_error(
            FarmFileProblem(
                _("{path} exists already.").format(path=path),
                kept=_("It was left as it is."),
                to_do=_("Choose another name for the new farm, or open this one."),
            )
        )
        return None

    def open_sample(self) -> None:
        """Open the invented farm; make it first where it isn't yet."""
        path = places.data_dir() / (_("Sample farm") + SUFFIX)
        if path.exists():
            self.open(path)
        else:
            self.tasks.ask(lambda: sample.write_sample(path), self._show_farm, self._show_error)

    def _show_new_farm(self, farm: OpenFarm) -> None:
        self._show_farm(farm)
        if isinstance(self.window, MainWindow):
            self.window.go("farm")

    def _show_farm(self, farm: OpenFarm) -> None:
        settings.write(settings.LAST_FARM, str(farm.place))
        desk = Desk(farm, self.tasks, questions=self._questions)
        window = MainWindow(desk, self.tasks, self._doors())
        if self._swap(window):
            window.go("week")
        else:
            self.tasks.ask(farm.close, lambda _nothing: None)

    def _doors(self) -> Doors:
        return Doors(
            self.ask_new, self.ask_open, self.ask_server, self.open_sample, self.restore, self.ask_rebuild
        )

    def _window(self) -> QMainWindow:
        """Return the window that is shown, the welcome page when there is none yet."""
        if self.window is None:
            self.welcome()
        assert self.window is not None
        return self.window

    def _show_error(self, error: BaseException) -> None:
        errors.show(error, self._window())

    def _swap(self, window: QMainWindow) -> bool:
        """Show another window; false when the present one refused to close."""
        before = self.window
        window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if before is not None:
            window.setGeometry(before.geometry())
        application = QApplication.instance()
        if before is not None and isinstance(application, QApplication):
            application.setQuitOnLastWindowClosed(False)
        closed = before is None or before.close()
        if closed:
            self.window = window
            window.show()
        else:
            window.deleteLater()
        if isinstance(application, QApplication):
            application.setQuitOnLastWindowClosed(True)
        return closed

    def _folder(self) -> Path:
        last = Path(str(settings.read(settings.LAST_FARM)) or Path.home())
        return last.parent if last.is_file() else Path.home()


def _last_place() -> FarmPlace | None:
    """Return where the farm opened last is; nothing when its file is gone."""
    last = str(settings.read(settings.LAST_FARM))
    try:
        place = read_place(last)
    except Refused:
        return None
    return place if isinstance(place, ServerAddress) or (last and place.is_file()) else None


def _farm_files() -> str:
    return _("Bayround farm (*{suffix})").format(suffix=SUFFIX)
