"""The way back: what was typed last in a bay can be taken back, step by step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

_STEPS_KEPT = 200


@dataclass(frozen=True, slots=True)
class UndoStep:
    """One thing done, and how to take it back."""

    what: str
    take_back: Callable[[], None]


class UndoSteps:
    """The steps of one visit, newest last. Taking a step back adds none."""

    def __init__(self) -> None:
        self._steps: list[UndoStep] = []
        self._taking_back = False

    def add(self, step: UndoStep | None) -> None:
        """Remember a step, if there is one; nothing is remembered while one is taken back."""
        if step is not None and not self._taking_back:
            self._steps = [*self._steps, step][-_STEPS_KEPT:]

    def take_back(self) -> str:
        """Take the newest step back and return what it was, or nothing when there is none."""
        if not self._steps:
            return ""
        step = self._steps.pop()
        self._taking_back = True
        try:
            step.take_back()
        finally:
            self._taking_back = False
        return step.what

    def clear(self) -> None:
        """Forget all (another bay)."""
        self._steps = []
