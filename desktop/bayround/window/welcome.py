"""What is shown when no farm is open: make one, open one, or explore the invented sample."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from bayround.window import icons, theme
from bayround.words import _


class WelcomeWindow(QMainWindow):
    """Three ways in, each with what it does.

    Attributes:
        wanted: "new", "open", "server" or "sample".
    """

    wanted = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setWindowTitle("Bayround")
        self.resize(1040, 640)
        self.buttons: dict[str, QPushButton] = {}
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(48, 48, 48, 48)
        layout.setSpacing(16)
        layout.addStretch(1)
        layout.addWidget(_sign(), 0, Qt.AlignmentFlag.AlignHCenter)
        name = QLabel("Bayround")
        name.setFont(theme.scaled(self.font(), 2.2, bold=True))
        line = QLabel(_("A round is a walk of the bays. Key in what you saw; see what is due."))
        for label in (name, line):
            label.setAlignment(Qt.AlignmentFlag.AlignCenter)
            layout.addWidget(label)
        layout.addSpacing(24)
        ways = QHBoxLayout()
        ways.setSpacing(24)
        for key, title, text in (
            (
                "sample",
                _("Explore the &sample"),
                _("An invented farm with a season of rounds, to try everything on."),
            ),
            ("new", _("&New farm"), _("Start an empty farm file. It asks for what it needs, step by step.")),
            ("open", _("&Open a farm"), _("A farm file from this computer or a stick.")),
        ):
            ways.addWidget(self._way(key, title, text), 1)
        layout.addLayout(ways)
        layout.addWidget(self._server_way(), 0, Qt.AlignmentFlag.AlignHCenter)
        layout.addStretch(2)
        self.setCentralWidget(page)

    def _server_way(self) -> QPushButton:
        button = QPushButton(_("Open a farm on a ser&ver …"))
        button.setToolTip(_("Several people write to it at the same time."))
        button.clicked.connect(lambda: self.wanted.emit("server"))
        self.buttons["server"] = button
        return button

    def _way(self, key: str, title: str, text: str) -> QFrame:
        card = QFrame()
        card.setObjectName("welcome")
        column = QVBoxLayout(card)
        column.setContentsMargins(24, 24, 24, 24)
        column.setSpacing(16)
        words = QLabel(text)
        words.setWordWrap(True)
        words.setMinimumHeight(64)
        words.setMinimumWidth(200)
        words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        words.setAlignment(Qt.AlignmentFlag.AlignTop)
        button = QPushButton(title)
        button.setMinimumSize(QSize(0, 44))
        button.setProperty("main", key == "sample")
        button.clicked.connect(lambda: self.wanted.emit(key))
        column.addWidget(words)
        column.addWidget(button)
        self.buttons[key] = button
        return card


def _sign() -> QLabel:
    sign = QLabel()
    sign.setPixmap(icons.picture("bayround", pixels=96))
    sign.setAccessibleName("Bayround")
    return sign
