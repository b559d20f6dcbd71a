"""Where the house stands."""

from __future__ import annotations

from pathlib import Path

import pytest
from house_files import CHECKOUT


@pytest.fixture(scope="session")
def checkout() -> Path:
    """The folder with README.md, desktop, resources, sample_farm and tests."""
    return CHECKOUT
