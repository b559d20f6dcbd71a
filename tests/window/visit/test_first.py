from PySide6.QtCore import Qt
import random
from conftest import numbers_of


def key_some(hands, farm, rows=6):
    ch = random.Random(3)
    past = next(iter(farm.pasts.values()))
    for p in past.plants[:rows]:
        last = past.visits[-1].readings[p.id]
        v = numbers_of(last.height_cm + 7, ch)
        for k in v:
            hands.keys(str(int(v[k])))
            from PySide6.QtWidgets import QApplication, QLineEdit

            if isinstance(QApplication.focusWidget(), QLineEdit):
                hands.enter()


def test_shot(screen, hands, farm):
    key_some(hands, farm)
    hands.keys("98")
    hands.key(Qt.Key.Key_F6)
    hands.keys("60")
    hands.enter()
    hands.keys("4")
    hands.enter()
    hands.keys("17")
    hands.enter()
    hands.keys("nn+0n")
    hands.key(Qt.Key.Key_F6)
    hands.enter()
    hands.keys("23")
    hands.enter()
    screen.grab().save("/tmp/a.png")
    farm.failing = True
    hands.key(Qt.Key.Key_F6)
    hands.keys("25")
    hands.key(Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)
    hands.key(Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)
    hands.key(Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)
    hands.keys("701s")
    hands.key(Qt.Key.Key_Down)
    hands.keys("612")
    hands.enter()
    screen.grab().save("/tmp/b.png")
    farm.failing = False
    screen.resize(1820, 1000)
    hands.keys("2")
    hands.enter()
    screen.grab().save("/tmp/c.png")
