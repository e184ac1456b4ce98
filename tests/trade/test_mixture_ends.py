"""What cannot be taken out of a vessel, at its edges."""

from __future__ import annotations

import pytest

from assistant.trade import mixture as mx
from assistant.trade.mixture import SALT_WATER, Measure, Mixture

BATCH = Mixture(water=1.0, salt=0.03, solids=5.0)


def test_pulp_is_no_wetter_than_the_batch() -> None:
    """2 kg of pulp with 75 % water hold 1.5 kg of it, and 1 kg is there: refused; 1.3 kg hold 0.975 kg."""
    with pytest.raises(ValueError, match="more than there is"):
        mx.strain(BATCH, 2.0, 0.75)
    liquid, pulp = mx.strain(BATCH, 1.3, 0.75)
    assert pulp.water == pytest.approx(0.975)  # worked by hand: 1.3 x 0.75
    assert liquid.water == pytest.approx(0.025)


def test_steam_changes_only_what_is_measured_over_water() -> None:
    """A share of the solids stays as it is while water steams off; a share of the water does not."""
    with pytest.raises(ValueError, match="water does not change it"):
        mx.boil_to(BATCH, Measure("salt of the solids", ("salt",), ("solids",)), 0.03)
    with pytest.raises(ValueError, match="water does not change it"):
        mx.boil_to(BATCH, Measure("water of all", ("water",), mx.COMPONENTS), 0.1)
    # worked by hand: 0.03 kg is 6 % of 0.5 kg
    assert mx.boil_to(BATCH, SALT_WATER, 0.06) == pytest.approx(0.5)
