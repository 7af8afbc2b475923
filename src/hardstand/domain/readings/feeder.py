"""Feeder and antenna: standing waves, return loss, line loss, watts and decibels."""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.arithmetic import exact, power_db, power_ratio, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

ZERO = Decimal(0)
ONE = Decimal(1)
MOST_DB = Decimal(200)
LOSSY = "a lossy feeder makes a bad antenna look good: weak reports with low SWR are a finding"


def _mismatch(reflected_share: Decimal) -> dict[str, str]:
    """Return loss and mismatch loss for a share of the power that comes back (0 to 1)."""
    back = "inf" if not reflected_share else shown(-power_db(reflected_share), 2)
    lost = "inf" if reflected_share == 1 else shown(-power_db(1 - reflected_share), 3)
    return {"return_loss_db": back, "mismatch_loss_db": lost}


@exact
def swr_table(*, swr: Decimal) -> Judged:
    """A standing-wave ratio as reflection, return loss, mismatch loss and power sent back."""
    gamma = (swr - 1) / (swr + 1)
    return Judged(
        figures={
            "reflection_coeff": shown(gamma, 4),
            **_mismatch(gamma * gamma),
            "reflected_power_pct": shown(gamma * gamma * 100, 2),
        },
        value=gamma,
    )


@exact
def swr_from_power(*, forward_w: Decimal, reflected_w: Decimal) -> Judged:
    """Standing-wave ratio from forward and reflected power.

    Raises:
        Usage: more power comes back than goes out, a bad reading.
    """
    if reflected_w > forward_w:
        raise Usage("reflected power is above forward power, a bad reading")
    share = reflected_w / forward_w
    gamma = share.sqrt()
    swr = None if share == 1 else (1 + gamma) / (1 - gamma)
    return Judged(
        figures={
            "reflection_coeff": shown(gamma, 4),
            "swr": "inf" if swr is None else shown(swr, 3),
            **_mismatch(share),
            "net_W": shown(forward_w - reflected_w, 3),
        },
        value=swr,
        look_at=(LOSSY,),
    )


@exact
def swr_through_line(*, swr_at_transmitter: Decimal, one_way_loss_db: Decimal) -> Judged:
    """The standing-wave ratio at the antenna behind a feeder that loses so much one way."""
    at_set = (swr_at_transmitter - 1) / (swr_at_transmitter + 1)
    gamma = at_set * power_ratio(one_way_loss_db)
    swr = None if gamma >= 1 else (1 + gamma) / (1 - gamma)
    return Judged(
        figures={
            "gamma_at_antenna": shown(gamma, 4),
            "swr_at_antenna": "impossible" if swr is None else shown(swr, 3),
        },
        value=swr,
        look_at=("the loss figure or the reading is wrong",) if swr is None else (LOSSY,),
    )


@exact
def line_loss(*, power_in_w: Decimal, loss_db: Decimal) -> Judged:
    """The power left at the far end of a feeder."""
    left = power_in_w / power_ratio(loss_db)
    return Judged(figures={"power_out_W": shown(left, 3)}, value=left, unit="W")


@exact
def watts_dbm(*, watts: Decimal) -> Judged:
    """Watts as decibels above a milliwatt."""
    level = power_db(watts * 1000)
    return Judged(figures={"dBm": shown(level, 2)}, value=level, unit="dBm")


def _watts(name: str, words: str, arg: str, *, zero: bool = False) -> Ask:
    low, above = (ZERO, None) if zero else (None, ZERO)
    return Ask(name=name, words=words, units=("W",), low=low, above=above, arg=arg)


def _loss(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, units=("dB",), low=ZERO, high=MOST_DB)


FAMILIES = by_name(
    Family(
        name="swr_table",
        asks=(Ask(name="swr", words="standing-wave ratio", low=ONE),),
        columns=(
            *("swr", "reflection_coeff", "return_loss_db"),
            *("mismatch_loss_db", "reflected_power_pct"),
        ),
        formula="gamma = (S - 1) / (S + 1); return loss = -20 log gamma, a positive number; "
        "mismatch loss = -10 log (1 - gamma squared)",
        source="Transmission-line theory. A web table gives SWR 1.8 as 10.2 dB and 31.5 %; right "
        "is 10.88 dB and 28.6 % reflection.",
        compute=swr_table,
    ),
    Family(
        name="swr_from_power",
        asks=(
            _watts("forward_W", "forward power", "forward_w"),
            _watts("reflected_W", "reflected power", "reflected_w", zero=True),
        ),
        columns=(
            *("forward_W", "reflected_W", "reflection_coeff", "swr"),
            *("return_loss_db", "mismatch_loss_db", "net_W"),
        ),
        formula="gamma = root of (reflected / forward); SWR = (1 + gamma) / (1 - gamma)",
        source="Transmission-line theory; return loss is positive.",
        compute=swr_from_power,
    ),
    Family(
        name="swr_through_line",
        asks=(
            Ask(name="swr_at_transmitter", words="SWR at the transmitter", low=ONE),
            _loss("one_way_loss_db", "feeder loss, one way"),
        ),
        columns=(
            *("swr_at_transmitter", "one_way_loss_db"),
            *("gamma_at_antenna", "swr_at_antenna"),
        ),
        formula="gamma at the antenna = gamma at the set x 10 to the (2 x loss / 20)",
        source="Transmission-line theory: the loss is passed there and back.",
        compute=swr_through_line,
    ),
    Family(
        name="line_loss",
        asks=(
            _watts("power_in_W", "power into the feeder", "power_in_w", zero=True),
            _loss("loss_db", "feeder loss"),
        ),
        columns=("power_in_W", "loss_db", "power_out_W"),
        formula="out = in x 10 to the (-loss / 10)",
        source="Definition of the decibel.",
        compute=line_loss,
    ),
    Family(
        name="watts_dbm",
        asks=(_watts("W", "power", "watts"),),
        columns=("W", "dBm"),
        formula="dBm = 10 log (W x 1000)",
        source="Definition of the decibel above a milliwatt.",
        compute=watts_dbm,
    ),
)
