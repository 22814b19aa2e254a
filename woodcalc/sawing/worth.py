"""What logs bring, sold as logs, as green lumber, air-dried, or dry: at prices that are its owner's to set."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, NamedTuple

from woodcalc.checks import within

if TYPE_CHECKING:
    from woodcalc.sawing.best import SawnTally

BULK = 3.0  # from memory: loose sawdust takes up to three times the room of the wood that it was
FT3_PER_YD3 = 27.0
# Mills in studies got 14 to 24 % less than the best sawing with the same saw: data/recovery.csv; Kline and others 1993,
# Fahey, Martin 1974, Pong 1982, abstracts. Sound, straight logs lose about the least of that.
LOST_PCT = 15.0


@dataclass(frozen=True)
class Terms:
    """Prices and paces of one owner; all are invented until they are set.

    Attributes
    ----------
    green_usd, air_dried_usd, dry_usd : float
        For a board foot, as it is sold.
    lost_pct, shrunk_pct : float
        Of the best sawing lost at the mill (%), and of the boards lost or shrunk in drying (%).
    sawing_usd : float
        Custom sawing, for a board foot; 0 if it is paid by the hour.
    hour_usd, bf_per_hour : float
        Custom sawing by the hour, and its pace (bf/h).
    air_drying_usd, drying_usd : float
        What a board foot costs to air-dry, and to dry all the way.
    blades, blade_usd : float
        Blades lost to metal, and what one costs.
    cord_usd, sawdust_usd : float
        For a cord of slabs and edgings, and a cubic yard of loose sawdust.

    Raises
    ------
    InputError
        A price or pace outside its range.
    """

    green_usd: float = 1.0
    air_dried_usd: float = 1.5
    dry_usd: float = 2.5
    lost_pct: float = LOST_PCT
    shrunk_pct: float = 10.0
    sawing_usd: float = 0.0
    hour_usd: float = 80.0
    bf_per_hour: float = 200.0
    air_drying_usd: float = 0.3
    drying_usd: float = 0.7
    blades: float = 0.0
    blade_usd: float = 30.0
    cord_usd: float = 80.0
    sawdust_usd: float = 0.0

    def __post_init__(self) -> None:
        for f in fields(self):
            low, high = {"bf_per_hour": (1, 5000)}.get(f.name, (0, 95 if f.name.endswith("pct") else 10_000))
            within(f.name, getattr(self, f.name), low, high)


class Sale(NamedTuple):
    """One way to sell: what it is sold as, its board feet, what it brings and costs, and what is left (dollars)."""

    sold_as: str
    board_feet: float
    brings_usd: float
    beside_usd: float  # for firewood and sawdust
    costs_usd: float  # sawing, blades, drying
    left_usd: float


def sawing_usd(board_feet: float, terms: Terms) -> float:
    """Return what custom sawing costs, by the foot or by the hour.

    Parameters
    ----------
    board_feet : float
        As sawn, green.
    terms : Terms

    Examples
    --------
    >>> sawing_usd(1000, Terms(hour_usd=80, bf_per_hour=200)), sawing_usd(1000, Terms(sawing_usd=0.5))
    (400.0, 500.0)
    """
    each = terms.sawing_usd or terms.hour_usd / terms.bf_per_hour
    return board_feet * each


def sales(sawn: SawnTally, logs_bf: float, logs_usd: float, terms: Terms) -> list[Sale]:
    """Return what a tally brings by each way to sell it.

    Whoever sells logs sells their firewood and sawdust with them. Blades are lost however the lumber is sold.

    Parameters
    ----------
    sawn : SawnTally
        The logs, sawn on paper.
    logs_bf, logs_usd : float
        Net scale of the logs (bf), and what a buyer pays for it, as `logs.paid_scale` has it.
    terms : Terms

    Returns
    -------
    list of Sale

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw_tally
    >>> sawn = saw_tally([Log(16, length_ft=12)], 1/8, {"4/4": 1.0625})
    >>> for sale in sales(sawn, 108, 54, Terms()):
    ...     print(f"{sale.sold_as}: {sale.board_feet:.0f} bf, ${sale.left_usd:.0f} left")
    as logs: 108 bf, $54 left
    as green lumber: 127 bf, $79 left
    as air-dried lumber: 115 bf, $86 left
    as dry lumber: 115 bf, $149 left
    """
    green = sawn.net_bf * (1 - terms.lost_pct / 100)
    dry = green * (1 - terms.shrunk_pct / 100)
    loose_yd3 = float(sawn.logs["sawdust_ft3"].sum()) * BULK / FT3_PER_YD3
    beside = sawn.firewood_cords * terms.cord_usd + loose_yd3 * terms.sawdust_usd
    mill = sawing_usd(green, terms) + terms.blades * terms.blade_usd
    ways = (
        ("as green lumber", green, terms.green_usd, 0.0),
        ("as air-dried lumber", dry, terms.air_dried_usd, terms.air_drying_usd),
        ("as dry lumber", dry, terms.dry_usd, terms.drying_usd),
    )
    out = [Sale("as logs", logs_bf, logs_usd, 0.0, 0.0, logs_usd)]
    for sold_as, bf, price, drying in ways:
        cost = mill + drying * green
        out.append(Sale(sold_as, bf, bf * price, beside, cost, bf * price + beside - cost))
    return out
