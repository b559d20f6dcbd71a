"""The menu bar: everything the window itself can do, each with its key."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu, QMenuBar

from bayround.window.navigation import PAGES
from bayround.words import _

Act = Callable[[], object]
_NATIVE = QKeySequence.SequenceFormat.NativeText


def add_action(menu: QMenu, text: str, keys: str, act: Act) -> QAction:
    """Add an entry with its key to a menu and return it."""
    action = QAction(text, menu)
    if keys:
        action.setShortcut(QKeySequence(keys))
    action.triggered.connect(lambda _checked=False: act())
    menu.addAction(action)
    return action


def _paper(bar: QMenuBar, acts: dict[str, Act]) -> dict[str, QAction]:
    paper = bar.addMenu(_("&Paper"))
    entries = (
        ("walk", _("&Walk sheets to print …"), "Ctrl+P"),
        ("walk book", _("Walk sheets to fill in on a &tablet …"), ""),
        ("job sheets", _("&Job sheets to print …"), "Ctrl+Shift+P"),
        ("season report", _("&Season report …"), ""),
        ("bring in", _("&Bring a file in …"), "Ctrl+I"),
        ("take back", _("Take an &import back …"), ""),
    )
    made = {}
    for name, text, keys in entries:
        if name == "bring in":
            paper.addSeparator()
        made[name] = add_action(paper, text, keys, acts[name])
    return made


def _places(bar: QMenuBar, acts: dict[str, Act], go: Callable[[str], object]) -> dict[str, QAction]:
    made: dict[str, QAction] = {}
    places = bar.addMenu(_("&Go to"))
    for number, (page, title) in enumerate(PAGES, start=1):
        made[page] = add_action(places, _(title), f"Ctrl+{number % 10}", partial(go, page))
    of_house = (("house", _("&House check"), "Ctrl+H"), ("climate", _("House &climate"), "Ctrl+Shift+H"))
    made |= {name: add_action(places, text, keys, partial(go, name)) for name, text, keys in of_house}
    made["inside"] = add_action(places, _("&Inside an interval …"), "Ctrl+Shift+I", acts["inside"])
    places.addSeparator()
    made["search"] = add_action(places, _("&Search …"), "Ctrl+K", acts["search"])
    made["earlier"] = add_action(places, _("Week &before"), "Alt+Left", acts["earlier"])
    made["later"] = add_action(places, _("Week &after"), "Alt+Right", acts["later"])
    return made


def keys(made: Mapping[str, QAction]) -> tuple[tuple[str, str], ...]:
    """Return every shortcut of the menus with what it does, the screens on one line."""
    pages = [made[page] for page, _title in PAGES]
    texts = [page.shortcut().toString(_NATIVE) for page in pages]
    others = [action for action in made.values() if action not in pages and not action.shortcut().isEmpty()]
    return (
        (f"{texts[0]} … {texts[-1]}", ", ".join(page.text() for page in pages)),
        *((action.shortcut().toString(_NATIVE), _plain(action.text())) for action in others),
    )


def _plain(text: str) -> str:
    """Return an entry's text without the mark of its letter and without its dots."""
    return text.replace("&", "").removesuffix("…").strip()


def build(window: QMainWindow, acts: dict[str, Act], go: Callable[[str], object]) -> dict[str, QAction]:
    """Fill the window's menu bar; *acts* holds what each entry does, by name."""
    bar = window.menuBar()
    made: dict[str, QAction] = {}
    farm = bar.addMenu(_("&Farm file"))
    for name, text, keys in (
        ("new", _("&New farm …"), "Ctrl+Shift+N"),
        ("open", _("&Open …"), "Ctrl+O"),
        ("server", _("Open on a ser&ver …"), ""),
        ("sample", _("Explore the &sample farm"), ""),
        ("workbook", _("&Hand over weekly workbook …"), "Ctrl+E"),
        ("close week", _("Hand over and &close the week …"), "Ctrl+Shift+E"),
        ("all weeks", _("Write &all weeks into one workbook …"), ""),
        ("package", _("Write a data &package …"), ""),
        ("rebuild", _("Make a farm from a data pac&kage …"), ""),
        ("backup", _("&Back up now"), "Ctrl+B"),
        ("restore", _("&Restore a backup …"), ""),
        ("merge", _("&Merge another laptop's file …"), ""),
        ("decide", _("&Decide between laptops …"), ""),
        ("quit", _("&Quit"), "Ctrl+Q"),
    ):
        if name in {"workbook", "quit"}:
            farm.addSeparator()
        made[name] = add_action(farm, text, keys, acts[name])
    made |= _paper(bar, acts)
    made |= _places(bar, acts, go)
    look = bar.addMenu(_("&Look"))
    made["dark"] = add_action(look, _("&Dark"), "", acts["dark"])
    made["large"] = add_action(look, _("&Large type"), "Ctrl++", acts["large"])
    for name in ("dark", "large"):
        made[name].setCheckable(True)
    helping = bar.addMenu(_("&Help"))
    made["help"] = add_action(helping, _("&Keys and what to do next"), "F1", acts["help"])
    made["about"] = add_action(helping, _("&About Bayround"), "", acts["about"])
    return made
