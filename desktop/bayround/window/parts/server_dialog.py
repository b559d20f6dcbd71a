"""Which farm on a server to open: its address, and a password that goes into the keyring of the system."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bayround.facts.problems import Refused
from bayround.facts.server_address import ServerAddress, is_server_address, read_address
from bayround.window.parts.notice import Notice, make_room
from bayround.words import _


class ServerDialog(QDialog):
    """Closes by itself only when the address can be read.

    Signals:
        wanted: the address, and the password typed (empty: none was typed).
    """

    wanted = Signal(object, str)

    def __init__(self, address: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Open a farm on a server"))
        self.setMinimumWidth(640)
        self.address = QLineEdit(address)
        self.address.setPlaceholderText("postgresql://name@server/database")
        self.address.setAccessibleName(_("Address of the farm"))
        self.password = QLineEdit()
        self.password.setEchoMode(QLineEdit.EchoMode.Password)
        self.password.setPlaceholderText(_("only when it is new on this computer"))
        self.password.setAccessibleName(_("Password"))
        self.notice = Notice()
        self.open_button = QPushButton(_("&Open"))
        self.open_button.setProperty("main", True)
        self.open_button.setDefault(True)
        self.open_button.clicked.connect(self._open)
        self._lay_out()
        self.address.setFocus(Qt.FocusReason.OtherFocusReason)

    def _lay_out(self) -> None:
        heading = QLabel(_("Several people write to a farm on a server at the same time."))
        heading.setObjectName("heading")
        heading.setWordWrap(True)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(8)
        for row, (text, field) in enumerate((
            (_("&Address"), self.address), (_("&Password"), self.password)
        )):  # fmt: skip
            label = QLabel(text)
            label.setBuddy(field)
            field.setMinimumHeight(28)
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
        told = QLabel(
            _(
                "Whoever looks after the server gives you the address. A password typed here goes into the "
                "keyring of this computer's system and nowhere else. What you may do is decided by your role "
                "on the server."
            )
        )
        told.setObjectName("quiet")
        told.setWordWrap(True)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        cancel = QPushButton(_("Cancel"))
        cancel.clicked.connect(self.reject)
        buttons.addWidget(cancel)
        buttons.addWidget(self.open_button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(16)
        layout.addWidget(heading)
        layout.addLayout(grid)
        layout.addWidget(told)
        layout.addWidget(self.notice)
        layout.addLayout(buttons)

    def _open(self) -> None:
        try:
            found = self._read()
        except Refused as refused:
            self.notice.refuse(refused)
            make_room(self)
            self.address.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        self.wanted.emit(found, self.password.text())
        self.accept()

    def _read(self) -> ServerAddress:
        text = self.address.text().strip()
        return read_address(text if is_server_address(text) else f"postgresql://{text}")
