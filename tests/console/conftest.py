"""What the console's tests share: nothing is kept in the folders of the person who runs them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True, scope="session")
def own_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Data, cache and settings folders of the tests' own, here and in the programs they start."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME"):
            patch.setenv(name, str(tmp_path_factory.mktemp(name.lower())))
        yield
