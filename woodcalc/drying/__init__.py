"""Drying outdoors: how fast a wood dries in the air of its place, when it is dry, and what readings tell."""

from woodcalc.dates import calendar_day as day_words
from woodcalc.drying.forecast import SD_LOG_BIOT, Forecast, Span, air_dry, of_stack
from woodcalc.drying.rate import (
    AIRFLOW,
    BIOT,
    QUARTERSAWN_TIME,
    REFERENCE_WIDTH_FT,
    THICKNESS_TIMES,
    Rate,
    biot,
    dated_part,
    day_of_year,
    felt_weather,
    rate,
    start_date,
    start_sd,
    thickness,
)
from woodcalc.drying.readings import reading_sd_pct
from woodcalc.drying.seasons import (
    by_start,
    days_for_warm_days,
    days_to_target,
    driest_everywhere,
    everywhere,
    grid,
    warm_days,
    warm_days_needed,
)
from woodcalc.drying.slab import temperature_factor

__all__ = [
    "AIRFLOW",
    "BIOT",
    "Forecast",
    "QUARTERSAWN_TIME",
    "REFERENCE_WIDTH_FT",
    "Rate",
    "SD_LOG_BIOT",
    "Span",
    "THICKNESS_TIMES",
    "air_dry",
    "biot",
    "by_start",
    "dated_part",
    "day_of_year",
    "day_words",
    "days_for_warm_days",
    "days_to_target",
    "driest_everywhere",
    "everywhere",
    "felt_weather",
    "grid",
    "of_stack",
    "rate",
    "reading_sd_pct",
    "start_date",
    "start_sd",
    "temperature_factor",
    "thickness",
    "warm_days",
    "warm_days_needed",
]
