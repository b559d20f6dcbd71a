from PySide6.QtCore import Qt
from bayround.window import theme
from test_first import key_some


def test_review(screen, hands, farm):
    key_some(hands, farm, 10)
    screen.page.grid.setFocus()
    screen.page.grid.setCurrentIndex(screen.page.readings.index(2, 0))
    hands.keys("140")
    hands.enter()
    screen.page.grid.setCurrentIndex(screen.page.readings.index(5, 2))
    hands.keys("25")
    hands.enter()
    screen.page.grid.setCurrentIndex(screen.page.readings.index(8, 3))
    hands.key(Qt.Key.Key_Delete)
    screen.page.grid.setCurrentIndex(screen.page.readings.index(3, 0))
    hands.keys("x")
    screen.page.grid.setCurrentIndex(screen.page.readings.index(4, 0))
    hands.keys("s")
    hands.ctrl(Qt.Key.Key_Return)
    screen.grab().save("/tmp/d.png")
    hands.key(Qt.Key.Key_Escape)
    screen.offer_round()
    screen.grab().save("/tmp/e.png")


def test_between(make_screen, farm):
    s = make_screen()
    s.grab().save("/tmp/f.png")


def test_large(make_screen, farm, qapp):
    theme.apply(qapp, "dark", True)
    s = make_screen()
    from conftest import Hands

    h = Hands(s)
    h.enter()
    key_some(h, farm, 4)
    s.grab().save("/tmp/g.png")
    theme.apply(qapp, "light", False)
