"""Which weather stations could stand for a place: it is found by ZIP code, town, position, or a station's name.

A station serves if it is near and lies as high. Height counts against distance as in `climate`: 200 m as much as
100 km. That was not chosen for this, and other weights do as well. Take each station's single months from the one
that is offered first instead of from itself, and its temperature over the year is 2.1 F off (rms), its EMC 1.2 points;
from the nearest, whatever its height, 2.6 F and 1.2 points. So a like height mends the temperature, and hardly the
EMC (tests/test_places.py). Long-term months would look better, and prove nothing: neighbors share their humidity.

ZIP codes and towns come from the package `zipcodes`, heights from the map that `pvlib` carries. Both load when they
are first asked, and neither needs a network.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np

from woodcalc import air, climate, tables, units
from woodcalc.checks import InputError, within
from woodcalc.climate import Site, as_key
from woodcalc.sizes import PLAIN_SIGNS

FARTHEST_MILES = 150.0
MOST_SPOTS = 40
# U.S. Standard Atmosphere (1976): 6.5 C a kilometer, from memory
LAPSE_F_PER_FT = 6.5 * units.F_PER_C * units.M_PER_FT / 1000
STANDS_FOR_PCT = 1.2  # EMC over the year, of a station against the one that is offered in its place (rms)
_SQUARE, _STEP_FT = (
    1 / 12,
    100.0,
)  # of the map: degrees, and the steps that its heights come in (28 m), rounded
LEADS_MILES = 10.0  # a station as near is not passed over for a height that nobody typed (judgment)

STATES = {
    "AL": "Alabama", "AK": "Alaska", "AZ": "Arizona", "AR": "Arkansas", "CA": "California", "CO": "Colorado",
    "CT": "Connecticut", "DE": "Delaware", "DC": "District of Columbia", "FL": "Florida", "GA": "Georgia",
    "HI": "Hawaii", "ID": "Idaho", "IL": "Illinois", "IN": "Indiana", "IA": "Iowa", "KS": "Kansas", "KY": "Kentucky",
    "LA": "Louisiana", "ME": "Maine", "MD": "Maryland", "MA": "Massachusetts", "MI": "Michigan", "MN": "Minnesota",
    "MS": "Mississippi", "MO": "Missouri", "MT": "Montana", "NE": "Nebraska", "NV": "Nevada", "NH": "New Hampshire",
    "NJ": "New Jersey", "NM": "New Mexico", "NY": "New York", "NC": "North Carolina", "ND": "North Dakota",
    "OH": "Ohio", "OK": "Oklahoma", "OR": "Oregon", "PA": "Pennsylvania", "RI": "Rhode Island",
    "SC": "South Carolina", "SD": "South Dakota", "TN": "Tennessee", "TX": "Texas", "UT": "Utah", "VT": "Vermont",
    "VA": "Virginia", "WA": "Washington", "WV": "West Virginia", "WI": "Wisconsin", "WY": "Wyoming",
}  # fmt: skip
# as they were written before there were two letters, and some still do
_OLD_STATES = dict(
    part.split()
    for part in (
        "ala AL;ariz AZ;ark AR;cal CA;calif CA;colo CO;conn CT;del DE;fla FL;ida ID;ill IL;ind IN;kan KS;kans KS;"
        "ken KY;mass MA;mich MI;minn MN;miss MS;mont MT;neb NE;nebr NE;nev NV;nmex NM;"
        "ndak ND;nodak ND;sdak SD;sodak SD;ncar NC;"
        "scar SC;okla OK;ore OR;oreg OR;penn PA;penna PA;tenn TN;tex TX;virg VA;wash WA;wva WV;wis WI;wisc WI;wyo WY"
    ).split(";")
)
_RENAMED = {"utqiagvik": "Barrow"}  # since the tables were made
# cities and parts of the country as people call them (common practice)
_CALLED = {
    one: town
    for town, ones in {
        "Philadelphia, PA": "philly",
        "New York, NY": "nyc;ny city;new york city;big apple",
        "New Orleans, LA": "nola;nawlins",
        "Las Vegas, NV": "vegas",
        "Los Angeles, CA": "los angeles ca;city of angels",
        "San Francisco, CA": "sf;san fran",
        "San Jose, CA": "silicon valley",
        "Washington, DC": "dc;d c;wash dc",
        "Chicago, IL": "chitown;chi town;chicagoland",
        "Jacksonville, FL": "jax",
        "Indianapolis, IN": "indy",
        "Cincinnati, OH": "cincy;cinci;cinti",
        "Kansas City, MO": "kc;kcmo;kc mo",
        "Oklahoma City, OK": "okc;okla city",
        "Salt Lake City, UT": "slc;salt lake",
        "Saint Louis, MO": "stl;st lou",
        "Dallas-Fort Worth, TX": "dfw",
        "Minneapolis, MN": "minne;mpls;twin cities",
        "Colorado Springs, CO": "colo springs;colo spgs",
        "Albuquerque, NM": "abq;burque",
        "Portland, OR": "pdx",
        "Atlanta, GA": "atl;hotlanta",
        "Pittsburgh, PA": "pgh;steel city",
        "San Antonio, TX": "san antone",
        "Boston, MA": "beantown",
        "Detroit, MI": "motown",
        "Milwaukee, WI": "milw",
        "Davenport, IA": "quad cities",
        "Norfolk, VA": "hampton roads;tidewater",
        "Marquette, MI": "up michigan;upper peninsula;the up;upper michigan",
        "Sault Sainte Marie, MI": "soo;the soo",
        "Hyannis, MA": "cape cod",
        "Kahului, HI": "maui",
        "Lihue, HI": "kauai",
        "Hilo, HI": "big island",
        "Salem, OR": "willamette valley;the willamette valley",
        "Staunton, VA": "shenandoah valley;the shenandoah valley",
        "Fresno, CA": "san joaquin valley;central valley",
        "Ithaca, NY": "finger lakes;the finger lakes",
    }.items()
    for one in ones.split(";")
}
# parts of a town's name that are written short: what each may stand for
_PARTS = {
    "n": "north", "no": "north", "s": "south", "so": "south", "e": "east", "w": "west", "pt": "port point",
    "hts": "heights", "hgts": "heights", "spgs": "springs", "spg": "springs", "spr": "springs", "mtn": "mountain",
    "jct": "junction", "lk": "lake", "riv": "river", "grv": "grove", "vly": "valley", "bch": "beach", "pk": "park",
    "ctr": "center", "cty": "city", "gr": "grand", "u": "upper", "lr": "lower",
}  # fmt: skip
_FAR = (  # where people may write from, and no station lies
    "Puerto Rico", "PR", "Guam", "GU", "American Samoa", "Virgin Islands", "VI", "Northern Mariana Islands", "Canada",
    "Ontario", "ON", "Quebec", "QC", "British Columbia", "BC", "Alberta", "AB", "Manitoba", "MB", "Saskatchewan", "SK",
    "Nova Scotia", "NS", "New Brunswick", "NB", "Newfoundland", "Mexico", "England", "UK", "Germany", "Australia",
    "Yukon", "Baja California", "Japan", "Ireland", "Scotland", "France", "New Zealand", "Saipan", "Pago Pago",
    "Mexico City", "Tijuana", "Juarez", "Ciudad Juarez", "Winnipeg", "Calgary", "Edmonton", "Saskatoon", "Tokyo",
    "Bermuda", "Europe",
)  # fmt: skip
_FAR_TOO = {"san juan": "Puerto Rico", "vancouver": "Canada", "montreal": "Canada", "toronto": "Canada"}
_ELSEWHERE = (
    "The book's weather stations are in the fifty states: elsewhere, enter twelve months of your own air, or a weather "
    "file."
)
_STATE_BY_NAME = {as_key(name): code for code, name in STATES.items()}
_HOW = "Type a ZIP code, a town and its state, or latitude and longitude."


@dataclass(frozen=True)
class Spot:
    """A place on the map.

    Attributes
    ----------
    name : str
        "Viroqua, WI".
    latitude, longitude : float
        Degrees, west negative.
    says : str
        How it was read, where that is not plain from what was typed.

    Examples
    --------
    >>> Spot("Viroqua, WI", 43.556, -90.888).says
    ''
    """

    name: str
    latitude: float
    longitude: float
    says: str = ""


@dataclass(frozen=True)
class Offer:
    """A station that could stand for a place.

    Attributes
    ----------
    name : str
        As `climate.get` knows it.
    miles : float
        How far it is.
    elevation_ft : float
        Of the station, above sea level.
    higher_ft : float
        How much higher the station lies than the place; NaN if the place's height is not known.
    observed_pct : float
        How much of its temperature was measured there; the rest was filled in by the file's makers.
    good_to_ft : float
        How far `higher_ft` may be off, nine times in ten; 0 if the place's height is known.

    Examples
    --------
    >>> near(43.556, -90.888)[0].name
    'La Crosse, WI'
    """

    name: str
    miles: float
    elevation_ft: float
    higher_ft: float
    observed_pct: float
    good_to_ft: float = 0.0


def find(text: str) -> list[Spot]:
    """Return the places that a text can mean, the likeliest first.

    Parameters
    ----------
    text : str
        A ZIP code, a town with or without its state, latitude and longitude, or a weather station by name or number.

    Returns
    -------
    list of Spot
        At least one.

    Raises
    ------
    InputError
        Nothing found; it says what was expected and the likely slip.

    Examples
    --------
    >>> find("54665")[0].name, find("Viroqa, Wisconsin")[0].name
    ('Viroqua, WI 54665', 'Viroqua, WI')
    >>> [round(x, 2) for x in (find("43°33'N, 90°53'W")[0].latitude, find("43.556, -90.888")[0].longitude)]
    [43.55, -90.89]
    """
    asked = " ".join(text.translate(PLAIN_SIGNS).split())
    if commas := _COMMAS.fullmatch(asked):
        asked = "{}.{}, {}.{}".format(*commas.groups())
    if not asked:
        raise InputError(f"Nothing was typed. {_HOW}")
    if where := _POSITION.fullmatch(asked) or _SPACED.fullmatch(asked):
        return [_position(*where.groups())]
    if re.fullmatch(r"\d[\d -]*", asked):
        return [_number(asked)]
    if re.fullmatch(
        r"[A-Za-z]{1,2}\d[A-Za-z\d]? ?\d[A-Za-z]{2}|[A-Za-z]\d[A-Za-z](?: ?\d[A-Za-z]\d)?", asked
    ):
        raise InputError(f"{asked!r} looks like a postal code of Canada or Britain. {_ELSEWHERE}")
    if re.fullmatch(r"(?!ZIP)[A-Za-z]{1,3}-\d{4,5}(?: .*)?", asked):
        raise InputError(f"{asked!r} looks like a postal code of another country. {_ELSEWHERE}")
    if before := re.fullmatch(r"(\d{5})(?:-\d{4})?[ ,]+(\D+)", asked):
        return [_zip_and_town(*before.groups())]
    if behind := re.fullmatch(r"(.*\D)(\d{5})(?:-\d{4})?", asked):
        return [_number(behind[2])]
    if re.fullmatch(r"[+-]?[\d.,]+°?", asked):
        raise InputError(
            f"{asked} is one number: a position is two, latitude and longitude, like 43.556, -90.888."
        )
    return _town(asked)


# --- latitude and longitude

_COORDINATE = (
    r"([NSEW])?\s*([+-]?\d{1,3}(?:\.\d+)?)\s*°?(?:\s*(\d{1,2}(?:\.\d+)?)\s*')?(?:\s*(\d{1,2}(?:\.\d+)?)\s*(?:\"|''))?"
    r"\s*([NSEW])?"
)
_COMMAS = re.compile(r"([+-]?\d{1,3}),(\d+)[;/ ] ?([+-]?\d{1,3}),(\d+)")  # 44,56 -123,26
_LABELED = r"(?:{}\w*\.?\s*[:=]?\s*)?"
_POSITION = re.compile(
    rf"{_LABELED.format('lat')}{_COORDINATE}\s*[,;/ ]\s*{_LABELED.format('lon')}{_COORDINATE}", re.IGNORECASE
)
# 44 02 30 N, 122 59 00 W: the letter says that these are no town's
_BARE = r"([NSEW])?\s*(\d{1,3})[\s:-]+(\d{1,2}(?:\.\d+)?)(?:[\s:-]+(\d{1,2}(?:\.\d+)?))?\s*([NSEW])?"
_SPACED = re.compile(
    rf"(?=.*[NS])(?=.*[EW]){_LABELED.format('lat')}{_BARE}\s*[,;/ ]\s*{_LABELED.format('lon')}{_BARE}",
    re.IGNORECASE,
)


def _degrees(before, degrees, minutes, seconds, behind):
    """Degrees with their sign, and the letter that told it."""
    value = abs(float(degrees)) + float(minutes or 0) / 60 + float(seconds or 0) / 3600
    letter = (before or behind or "").upper()
    south_or_west = letter in ("S", "W") or degrees.startswith("-")
    return -value if south_or_west else value, letter


def _position(*groups):
    (lat, first), (lon, second) = _degrees(*groups[:5]), _degrees(*groups[5:])
    if first in ("E", "W") or second in ("N", "S"):  # the letters say which is which
        lat, lon = lon, lat
    west = -abs(lat)
    if not (first or second) and abs(lat) > 60 > abs(lon) and 15 < abs(lon) and abs(lat) < 180:
        raise InputError(
            f"{lat:g}, {lon:g}: latitude comes first, and longitude is negative in the West. Are the two exchanged? "
            f"Then type {abs(lon):g}, {west:g}."
        )
    hint = "Latitude comes first: it tells how far north."
    lat = float(within("latitude", lat, -90, 90, "degrees", hint))
    lon = float(within("longitude", lon, -180, 180, "degrees", "West longitudes are negative."))
    if 15 < lat and 60 < lon < 170:
        raise InputError(
            f"{lat:g}, {lon:g} lies in Asia: longitudes in the West are negative. Is it {lat:g}, {-lon:g}?"
        )
    name = f"{abs(lat):.4g} {'N' if lat >= 0 else 'S'}, {abs(lon):.4g} {'W' if lon < 0 else 'E'}"
    return Spot(name, lat, lon)


# --- ZIP codes


def _number(asked):
    """A ZIP code, or a station's number."""
    code = re.split(r"[ -]", asked)[0]
    if len(code) == 6:
        if code not in set(_stations().station_id):
            raise InputError(f"{code} is not the number of a weather station that the book has. {_HOW}")
        return _of_station(climate.get(code))
    says = ""
    if len(code) in (3, 4) and _zip(code.zfill(5)):
        code = code.zfill(5)
        says = f"Read as ZIP code {code}: a spreadsheet drops the zero in front."
    found = _zip(code) if len(code) == 5 else None
    if not found:
        raise InputError(
            f"{asked} is not a U.S. ZIP code that the book knows: those have five digits, like 54665. Is it a code "
            "of another country, or a new one? Type the town and its state, or latitude and longitude."
        )
    lat, lon = float(found["lat"] or 0), float(found["long"] or 0)
    if not (lat or lon):
        raise InputError(
            f"ZIP code {code} belongs to a military or a large post office and has no place on the map. Type a town, "
            "or latitude and longitude."
        )
    return Spot(f"{found['city']}, {found['state']} {code}", lat, lon, says)


def _zip_and_town(code, town):
    """A ZIP code with its town behind it, as an envelope has it turned round."""
    spot, named = _number(code), _parted(town)[0]
    found = _zip(code)
    if town_key(named) not in map(town_key, (found["city"], *found["acceptable_cities"])):
        raise InputError(
            f"ZIP code {code} is {spot.name.removesuffix(f' {code}')}, not {named}. Type the one that you mean."
        )
    return spot


def _zip(code):
    import zipcodes

    found = zipcodes.matching(code)
    return found[0] if found else None


# --- towns


def town_key(name: str) -> str:
    """Return a town's name without what people write in different ways: as `as_key`, and without gaps and a The.

    Parameters
    ----------
    name : str

    Returns
    -------
    str

    Examples
    --------
    >>> town_key("O'Fallon") == town_key("O Fallon"), town_key("The Dalles") == town_key("Dalles")
    (True, True)
    """
    return re.sub(r"^the ", "", as_key(name)).replace(" ", "")


@cache
def _towns(state):
    """Towns of a state, or of all if it is "": key -> {state: (name, where its ZIP codes lie)}."""
    import zipcodes

    towns: dict[str, dict[str, tuple[str, list[tuple[float, float]]]]] = {}

    def add(name, its_state, at):
        towns.setdefault(town_key(name), {}).setdefault(its_state, (name, []))[1].append(at)

    for each in [state] if state else STATES:  # all in one call would stay in memory
        for code in zipcodes.filter_by(state=each):
            at = float(code["lat"] or 0), float(code["long"] or 0)
            if at != (0.0, 0.0):  # some post offices have no place
                for town in (code["city"], *code["acceptable_cities"]):
                    add(town, each, at)
    for station in _stations().itertuples():
        if state in ("", station.state):
            add(station.place, station.state, (station.latitude, station.longitude))
    return towns


def _town(asked):
    if town := _CALLED.get(as_key(asked)):
        said = "" if as_key(town).startswith(as_key(asked)) else f"{asked} is read as {town}."
        return _spots({state: each for state, each in _towns(town[-2:])[town_key(town[:-4])].items()}, said)
    points = re.sub(r"[.\s]", "", asked)
    if _state(asked) and (as_key(asked) in _STATE_BY_NAME or points in STATES or asked.endswith(".")):
        _refuse_state(asked)
    if asked.casefold() in map(str.casefold, _FAR) and not _towns("").get(town_key(asked)):
        raise InputError(f"{asked} has no station. {_ELSEWHERE}")
    if as_key(asked) in ("usa", "us", "u s", "u s a", "america", "united states"):
        raise InputError(f"{asked} is a whole country. {_HOW}")
    name, state = _parted(asked)
    key = town_key(_RENAMED.get(town_key(name), name))
    said = f"{name} is {_RENAMED[town_key(name)]} in the book's tables." if town_key(name) in _RENAMED else ""
    if far := "" if state else _FAR_TOO.get(as_key(name), ""):
        said = f"{name} in {far} has no station: read as a place of that name in the United States."
    found = [
        each for way in _written_out(name) for each in _spots(_towns(state).get(town_key(way), {}), said)
    ]
    found += _spots(_towns(state).get(key, {}), said)
    if found:
        return found[:MOST_SPOTS]
    if re.search(r"\b(county|co|parish|township|twp)\.?$", name, re.IGNORECASE):
        raise InputError(f"{asked}: the book knows towns, and no counties. {_HOW}")
    if state and (of_county := _county(name, state)):
        return [of_county]
    # a state that was typed outranks a spelling
    alike = _alike(name, state)
    if state and (elsewhere := _towns("").get(key)):
        says = f"The book knows no {name} in {STATES[state]}, but one elsewhere: read as {{}}."
        alike += _spots(elsewhere, says)[:_ELSEWHERE_MOST]
    if not alike:
        there = f" in {STATES[state]}" if state else ""
        raise InputError(f"No town{there} is called {name!r}, or nearly so. Check the spelling. {_HOW}")
    return alike[:MOST_SPOTS]


def _county(name, state):
    """The middle of a county of that name, as its ZIP codes lie; None if there is none."""
    import zipcodes

    codes = [
        code
        for code in zipcodes.filter_by(state=state)
        if town_key(re.sub(r" (County|Parish)$", "", code["county"] or "")) == town_key(name)
        and float(code["lat"] or 0)
    ]
    if not codes:
        return None
    lat, lon = np.median([(float(code["lat"]), float(code["long"])) for code in codes], axis=0)
    called = codes[0]["county"]
    says = f"No town in {STATES[state]} is called {name}: read as the middle of {called}. A town or ZIP code is nearer."
    return Spot(f"{called}, {state}", float(lat), float(lon), says)


def _written_out(name):
    """A town's name with its short words in full: N. Bend, Pt Angeles; nothing if it has none."""
    words = as_key(name).split()
    if not {*words} & {*_PARTS}:
        return []
    whole = [" ".join(way) for way in product(*(_PARTS.get(word, word).split() for word in words))]
    last = words[:-1]  # e is East in front, and nothing behind
    return whole if {*last} & {*_PARTS} or words[-1] not in "nsewu" else []


_ELSEWHERE_MOST = 5  # of a name that the state lacks, in others
_A_CITY = 50  # ZIP codes, from which on a state's name is rather its city: New York, Washington


def _refuse_state(asked):
    """Say that a state is no town, unless a city is called so."""
    state = STATES[_state(asked)]
    towns = _towns("").get(town_key(asked), {})
    if max((len(at) for _, at in towns.values()), default=0) >= _A_CITY:
        return
    said = f"{asked} is a state. Type a town in it, such as {_largest(state)}, or a ZIP code."
    if state == "Louisiana" and as_key(asked) != "louisiana":
        said += " For the city in California, type Los Angeles."
    if towns:
        said += f" For a town of that name, type its state too: {_spots(towns)[0].name}."
    raise InputError(said)


def _parted(asked):
    """The town, and the state's two letters if one is named."""
    town, comma, behind = asked.rpartition(",")
    if comma:
        state = _state(behind)
        if not state:
            if behind.strip().casefold() in map(str.casefold, _FAR):
                raise InputError(f"{behind.strip()} has no station. {_ELSEWHERE}")
            known = difflib.get_close_matches(as_key(behind), _STATE_BY_NAME, 1)
            hint = f" Did you mean {STATES[_STATE_BY_NAME[known[0]]]}?" if known else ""
            raise InputError(f"{behind.strip()!r} is not a state of the United States.{hint} {_HOW}")
        return town.strip(), state
    if town_key(asked) in _towns(""):
        return asked, ""  # Port Washington
    words = asked.split()
    for behind in (3, 2, 1):  # of "Charleston West Virginia", the longer name of a state counts
        if len(words) > behind and (state := _state(" ".join(words[-behind:]))):
            return " ".join(words[:-behind]), state
    for far in _FAR:  # San Juan PR
        if len(words) > 1 and f" {asked}".endswith(f" {far}"):
            raise InputError(f"{far} has no station. {_ELSEWHERE}")
    return asked, ""


def _largest(state):
    """The town of a state that has most ZIP codes, as an example."""
    towns = _towns(_STATE_BY_NAME[as_key(state)]).values()
    name, _ = max((each for found in towns for each in found.values()), key=lambda each: len(each[1]))
    return f"{name}, {_STATE_BY_NAME[as_key(state)]}"


def _state(text):
    letters = re.sub(r"[.\s]", "", text)
    if letters.upper() in STATES:
        return letters.upper()
    return _STATE_BY_NAME.get(as_key(text)) or _OLD_STATES.get(letters.lower(), "")


def _alike(name, state):
    """Towns that are spelled nearly so, each said to be read as it."""
    towns, asked = _towns(state), town_key(name)
    whole = [key for key, found in towns.items() if not _of_a_side(next(iter(found.values()))[0])]
    near = difflib.get_close_matches(asked, whole, 5, 0.72)
    near.sort(key=lambda key: sorted(key) != sorted(asked))  # letters that changed places: Pheonix
    there = f" in {STATES[state]}" if state else ""
    says = f"No town is called {name!r}{there}: read as {{}}, the nearest spelling."
    return [spot for key in near for spot in _spots(towns[key], says)]


def _of_a_side(name):
    """Whether it is W Milwaukee."""
    return name[1:2] == " " and name[0] in "NSEW"


def _spots(found, says=""):
    """The towns of one name, the largest first; `says` may have room for its name."""
    order = sorted(found.items(), key=lambda each: -len(each[1][1]))[:MOST_SPOTS]
    middle = [(f"{name}, {state}", *np.median(points, axis=0)) for state, (name, points) in order]
    named = [(re.sub(r"\bMc[a-z]", lambda mc: f"Mc{mc[0][2].upper()}", name), *at) for name, *at in middle]
    return [Spot(name, float(lat), float(lon), says.replace("{}", name)) for name, lat, lon in named]


def _of_station(site):
    row = _stations().loc[lambda table: table.station_id == site.station_id].iloc[0]
    return Spot(site.name, float(row.latitude), float(row.longitude))


# --- stations


@cache
def _stations():
    """The stations that are offered, where they really are: of some the file's header gives another position."""
    unknown = tables.read("climate_positions").query("latitude.isna()").station_id
    table = climate.stations()
    return table[~table.station_id.isin(unknown)].reset_index(drop=True)


def _may_lie_low(latitude, longitude):
    """Whether land there lies under the sea's level by more than a few feet: Death Valley to the Salton Sea."""
    return 32 < latitude < 37.5 and -118 < longitude < -115


# the islands of Hawaii by corners, south, north, west, east; those that stand close together are told apart
_ISLANDS = {
    "Hawaii": (18.5, 20.35, -156.2, -154.5), "Maui": (20.55, 21.1, -156.72, -155.9),
    "Lanai": (20.7, 20.96, -157.1, -156.75), "Molokai": (21.0, 21.3, -157.4, -156.7),
    "Oahu": (21.2, 21.8, -158.4, -157.6), "Kauai": (21.8, 22.3, -159.9, -159.2),
}  # fmt: skip


def island(latitude: float, longitude: float) -> str:
    """Return the island of Hawaii where a position lies; "" if it lies on none.

    The map of heights is too coarse there: its squares hold shore and summit.

    Parameters
    ----------
    latitude, longitude : float
        Degrees, west negative.

    Examples
    --------
    >>> island(20.75, -156.0), island(43.1, -89.4)
    ('Maui', '')
    """
    return next(
        (
            name
            for name, (south, north, west, east) in _ISLANDS.items()
            if south <= latitude <= north and west <= longitude <= east
        ),
        "",
    )


def by_the_sea(latitude: float, longitude: float) -> bool:
    """Return whether the sea is near, within some 20 miles: a square of the coarse map around lies at its level.

    Parameters
    ----------
    latitude, longitude : float
        Degrees, west negative.

    Examples
    --------
    >>> by_the_sea(45.46, -123.84), by_the_sea(45.52, -122.99)  # Tillamook and Hillsboro, OR
    (True, False)
    """
    if _may_lie_low(latitude, longitude):
        return False
    steps = _SQUARE * np.arange(-3, 4)
    around = [map_elevation_ft(latitude + up, longitude + east) for up in steps for east in steps]
    return sum(height <= 0 for height in around) >= _SEA_SQUARES


_SEA_SQUARES = 5  # of 49, at the sea's level or under it: fewer may be a pond or a polder (judgment)


@cache
def map_elevation_ft(latitude: float, longitude: float) -> float:
    """Return the height of the land there, from a coarse map: `map_good_to_ft` tells how far it can be trusted.

    Parameters
    ----------
    latitude, longitude : float
        Degrees, west negative.

    Returns
    -------
    float
        Feet above sea level; NaN if the map is not there.

    References
    ----------
    The map of squares of 1/12 degree that pvlib carries (`pvlib.location.lookup_altitude`).

    Examples
    --------
    >>> map_elevation_ft(43.556, -90.888)
    1188.0
    """
    try:
        from pvlib.location import lookup_altitude

        told = float(round(lookup_altitude(latitude, longitude) / units.M_PER_FT))
        return told if _may_lie_low(latitude, longitude) else max(told, 0.0)
    except Exception:  # no map: heights are then not compared
        return float("nan")


def map_good_to_ft(latitude: float, longitude: float) -> float:
    """Return how far the map's height may be off there, nine times in ten: it misses most where its squares differ.

    Twice the spread of the nine squares around, and a step of the map. So much holds for 96 of 100 stations in the
    East, 94 in the mountain states of the West, and 9 of the 10 in Hawaii (tests/test_places.py).

    Parameters
    ----------
    latitude, longitude : float
        Degrees, west negative.

    Returns
    -------
    float
        Feet; NaN if the map is not there.

    Examples
    --------
    >>> round(map_good_to_ft(43.556, -90.888), -1), round(map_good_to_ft(39.53, -119.82), -1)
    (140.0, 1840.0)
    """
    steps = (-_SQUARE, 0.0, _SQUARE)
    around = [map_elevation_ft(latitude + up, longitude + east) for up in steps for east in steps]
    return float(np.hypot(_STEP_FT, 2 * np.std(around)))


def near(
    latitude: float,
    longitude: float,
    elevation_ft: float | None = None,
    most: int = 5,
    good_to_ft: float = 0.0,
) -> list[Offer]:
    """Return the stations that could stand for a place, the best first.

    Parameters
    ----------
    latitude, longitude : float
        Degrees, west negative.
    elevation_ft : float, optional
        Height of the place above sea level; if left out, distance alone counts.
    most : int
        How many; the nearest of all is always among them.
    good_to_ft : float
        How far the height may be off. It counts only beyond that, and passes over no station within 10 miles.

    Returns
    -------
    list of Offer

    Raises
    ------
    InputError
        No station within 150 miles.

    Examples
    --------
    >>> [offer.name for offer in near(38.92, -79.85, 3000, 2)]
    ['Elkins, WV', 'Hot Springs, VA']
    """
    table = _stations()
    miles = climate.distance_miles(latitude, longitude, table.latitude.to_numpy(), table.longitude.to_numpy())
    if miles.min() > FARTHEST_MILES:
        raise InputError(
            f"The nearest weather station, {table.name[miles.argmin()]}, is {miles.min():,.0f} miles away and can't "
            "stand for this place. Enter twelve months of your own air, or a weather file."
        )
    unknown = elevation_ft is None or np.isnan(elevation_ft)
    higher_ft = table.elevation_ft.to_numpy() - (np.nan if unknown else elevation_ft)
    surely_ft = 0.0 if unknown else np.maximum(np.abs(higher_ft) - good_to_ft, 0.0)
    unlike = climate.unlikeness(miles, surely_ft * units.M_PER_FT)
    if good_to_ft and miles.min() <= LEADS_MILES:
        unlike[miles.argmin()] = -1.0
    if here := island(latitude, longitude):  # none across the sea before one on the island
        across = [
            island(*at) != here
            for at in zip(table.latitude.to_numpy(), table.longitude.to_numpy(), strict=True)
        ]
        unlike = unlike + 1e6 * np.array(across)
    order = [int(i) for i in np.argsort(unlike, kind="stable") if miles[i] <= FARTHEST_MILES][:most]
    nearest = int(miles.argmin())
    if nearest not in order:
        order[-1] = nearest
    return [
        Offer(table.name[i], float(miles[i]), float(table.elevation_ft[i]), float(higher_ft[i]),
              float(table.t_observed_pct[i]), good_to_ft)
        for i in order
    ]  # fmt: skip


def station_for(asked: str) -> tuple[str, str]:
    """Return the station that stands for what was typed, the nearest, and a sentence where it is not plain which.

    Parameters
    ----------
    asked : str
        A station, a place of one's own, a town, a ZIP code, or latitude and longitude.

    Returns
    -------
    (str, str)

    Raises
    ------
    InputError
        Nothing found.

    Examples
    --------
    >>> station_for("duluth minnesota")
    ('Duluth, MN', '')
    >>> station_for("54665")
    ('La Crosse, WI', 'The station nearest to Viroqua, WI 54665 is La Crosse, WI, 29 miles off.')
    """
    try:
        site = climate.get(asked)
    except InputError:
        pass
    else:
        return site.name, ""
    spots = find(asked)
    name, said = _own_station(spots[0].name), [spots[0].says]
    if not name:
        offer = min(near(spots[0].latitude, spots[0].longitude), key=lambda each: each.miles)
        name = offer.name
        said.append(f"The station nearest to {spots[0].name} is {name}, {offer.miles:.0f} miles off.")
    if len(spots) > 1:
        others = "; ".join(dict.fromkeys(spot.name for spot in spots[1:4]))
        said.append(
            f"Other spellings: {others}."
            if spots[0].says
            else f"There are {len(spots)} places of that name: for another, type its state ({others})."
        )
    return name, " ".join(filter(None, said))


def _own_station(town):
    """The station of a town's own name; "" if it has none."""
    try:
        return climate.get(town).name
    except InputError:
        return ""


def what_changes(site: str | Site, higher_ft: float = float("nan"), by_map: bool = False) -> list[str]:
    """Say what the height, a hollow or a ridge changes against the air of a station.

    Parameters
    ----------
    site : str or Site
        As `climate.get` takes it.
    higher_ft : float
        How much higher the station lies than the place.
    by_map : bool
        A coarse map told it, and nobody who lives there.

    Returns
    -------
    list of str
        Sentences.

    Examples
    --------
    >>> what_changes("Elkins, WV", -900)[0]
    'You are 900 ft above the station: count on air about 3 F cooler.'
    """
    month = climate.get(site).monthly.loc[7]
    told = []
    if abs(higher_ft) >= 300:
        up = "above" if higher_ft < 0 else "below"
        degrees = abs(higher_ft) * LAPSE_F_PER_FT
        by = f"By a coarse map you are about {round(abs(higher_ft), -2):,.0f} ft"
        feet = by if by_map else f"You are {abs(higher_ft):,.0f} ft"
        told.append(
            f"{feet} {up} the station: count on air about {degrees:.0f} F "
            f"{'cooler' if higher_ft < 0 else 'warmer'}."
        )
    damper = min(month.rh_pct + 5, 100)
    more = air.emc_pct(month.temp_f, damper) - month.emc_pct
    told += [
        "The station stands in the open, mostly at an airport. In a hollow, or at the edge of the woods, the air is "
        f"damper and stiller. Air that is 5 % damper in July lets wood rest {more:.1f} points higher, and the stack "
        "takes longer.",
        "On a ridge there's more wind. The stack dries faster, and its faces check sooner. "
        "Nobody measured your yard: a thermometer with a humidity dial in the shade there tells.",
    ]
    return told


# --- figures of one's own


def slip_in_months(
    temp_f: Sequence[float], rh_pct: Sequence[float], station: str | Site | None = None
) -> str:
    """Say the likely slip in twelve months of one's own; "" if they look right.

    Parameters
    ----------
    temp_f, rh_pct : sequence of 12
        Means, January to December.
    station : str or Site, optional
        One near by, to compare with.

    Returns
    -------
    str

    Examples
    --------
    >>> slip_in_months([-8, -5, 1, 8, 14, 20, 22, 21, 16, 10, 3, -5], [75] * 12)
    'The warmest month is 22 F. Are these degrees Celsius? 22 C is 72 F.'
    >>> slip_in_months([20, 24, 35, 47, 58, 67, 71, 69, 61, 50, 37, 25], [0.75] * 12)
    'The dampest month is 0.75 %. Are these fractions? 0.75 is 75 %.'
    """
    temp, damp = np.asarray(temp_f, dtype=float), np.asarray(rh_pct, dtype=float)
    if damp.max() <= 1.5:
        most = damp.max()
        return f"The dampest month is {most:g} %. Are these fractions? {most:g} is {100 * most:.0f} %."
    theirs = climate.get(station).monthly.temp_f.to_numpy() if station else None
    if theirs is None:
        celsius = temp.max() < 45  # nowhere in the 48 states is the warmest month that cold
    else:
        celsius = np.abs(units.fahrenheit(temp) - theirs).mean() < np.abs(temp - theirs).mean()
    if celsius:
        warm = temp.max()
        meant = units.fahrenheit(warm)
        return f"The warmest month is {warm:g} F. Are these degrees Celsius? {warm:g} C is {meant:.0f} F."
    for values, unit, low, high in ((temp, "F", -80, 130), (damp, "%", 1, 100)):
        for month, value in zip(climate.MONTHS, values, strict=True):
            if not low <= value <= high:
                meant = f" Is {value / 10:g} meant?" if high < value <= 10 * high else ""
                return f"{month}: found {value:g} {unit}; expected {low} to {high} {unit}.{meant}"
    return ""


# A month off the middle of its neighbors: no station's month is further off than 15 F or 7 points, and a single year
# scatters more than the usual one (judgment).
_BREAKS_F, _BREAKS_PCT = 16.0, 15.0
_DAMPEST_PCT, _DRIEST_PCT = 90.0, 20.0  # means of a year; the stations lie between 32 and 86 %
_OFF_STATION_F, _OFF_STATION_PCT = 10.0, 20.0  # of a month, at the station's height (judgment)


def doubts_in_months(
    temp_f: Sequence[float], rh_pct: Sequence[float], offer: Offer | None = None
) -> list[str]:
    """Ask about months of one's own that break from their neighbors, and about a year that no place has.

    Parameters
    ----------
    temp_f, rh_pct : sequence of 12
        Means, January to December.
    offer : Offer, optional
        The station near by: a month far from its own is asked about.

    Returns
    -------
    list of str

    Examples
    --------
    >>> temps, damp = [20, 24, 35, 47, 58, 67, 71, 69, 61, 50, 37, 25], [78, 76, 73, 68, 68, 7, 74, 78, 79, 75, 78, 80]
    >>> doubts_in_months(temps, damp)
    ['Jun: 7 % breaks from the months beside it, May 68 % and Jul 74 %. Is 70 meant?']
    >>> doubts_in_months(temps, [98, 99] * 6)
    ['The mean of the year is 98 %: air that damp all year is known from no weather station. Is that right?']
    """
    said = _broken_months(temp_f, "F", _BREAKS_F) + _broken_months(rh_pct, "%", _BREAKS_PCT)
    mean = float(np.mean(rh_pct))
    if not _DRIEST_PCT <= mean <= _DAMPEST_PCT:
        how = "damp" if mean > _DAMPEST_PCT else "dry"
        said.append(
            f"The mean of the year is {mean:.0f} %: air that {how} all year is known from no weather station. "
            "Is that right?"
        )
    temp = np.asarray(temp_f, dtype=float)
    theirs = climate.get(offer.name).monthly if offer else None
    if theirs is not None and _exchanged(temp, np.asarray(rh_pct, dtype=float), theirs):
        said.append(
            "The temperatures look like humidities, and the humidities like temperatures. Are the two lines exchanged?"
        )
    if temp[5:8].mean() < temp[[11, 0, 1]].mean() - 1:
        said.append(
            "June, July and August are colder than December, January and February. Does your list begin in July? It "
            "begins with January here."
        )
    for values, unit, line in ((temp_f, " F", "temperature"), (rh_pct, " %", "humidity")):
        if len(set(values)) == 1:
            said.append(f"All twelve months have a {line} of {values[0]:g}{unit}. Is that what they had?")
    if theirs is not None and offer is not None:
        said += _off_station(temp, np.asarray(rh_pct, dtype=float), theirs, offer)
    return said


def _exchanged(temp, damp, theirs):
    """True if each line is nearer to the other one of the station."""
    theirs_f, theirs_pct = theirs.temp_f.to_numpy(), theirs.rh_pct.to_numpy()
    as_typed = np.abs(temp - theirs_f).mean() + np.abs(damp - theirs_pct).mean()
    turned = np.abs(temp - theirs_pct).mean() + np.abs(damp - theirs_f).mean()
    return turned < as_typed / 2


def _off_station(temp, damp, theirs, offer):
    """A sentence for each line whose furthest month is far from the station's, heights allowed for."""
    cooler = 0.0 if np.isnan(offer.higher_ft) or offer.good_to_ft else offer.higher_ft * LAPSE_F_PER_FT
    said = []
    for typed, there, most, unit in (
        (temp, theirs.temp_f.to_numpy() + cooler, _OFF_STATION_F, " F"),
        (damp, theirs.rh_pct.to_numpy(), _OFF_STATION_PCT, " %"),
    ):
        k = int(np.abs(typed - there).argmax())
        if abs(typed[k] - there[k]) > most:
            month = climate.MONTHS[k]
            said.append(
                f"{month}: you have {typed[k]:g}{unit}, and {offer.name} has {there[k]:.0f}{unit}. Is it right?"
            )
    return said


def _broken_months(values, unit, most):
    """A sentence for each month that is far from the middle of those beside it; the worst first, then the rest anew."""
    now, found = np.asarray(values, dtype=float).copy(), []
    for _ in range(3):  # more broken months than that are no slip
        middle = (np.roll(now, 1) + np.roll(now, -1)) / 2
        k = int(np.abs(now - middle).argmax())
        if abs(now[k] - middle[k]) <= most:
            break
        found.append(k)
        now[k] = middle[k]
    said = []
    for k in sorted(found):
        before, after = (k - 1) % 12, (k + 1) % 12
        near = " and ".join(f"{climate.MONTHS[i]} {values[i]:g} {unit}" for i in (before, after))
        meant = f" Is {10 * values[k]:g} meant?" if abs(10 * values[k] - now[k]) <= most else ""
        said.append(
            f"{climate.MONTHS[k]}: {values[k]:g} {unit} breaks from the months beside it, {near}."
            f"{meant or ' Is it right?'}"
        )
    return said


def against_station(temp_f: Sequence[float], rh_pct: Sequence[float], offer: Offer) -> str:
    """Say how twelve months of one's own differ from those of a station near by.

    Parameters
    ----------
    temp_f, rh_pct : sequence of 12
        Means, January to December.
    offer : Offer

    Returns
    -------
    str

    Examples
    --------
    >>> against_station([50] * 12, [75] * 12, near(43.556, -90.888)[0]).partition(" is ")[0]
    'Your year'
    """
    theirs = climate.get(offer.name).monthly
    warmer = np.asarray(temp_f, dtype=float) - theirs.temp_f.to_numpy()
    damper = np.asarray(rh_pct, dtype=float) - theirs.rh_pct.to_numpy()
    words = [
        f"{abs(off.mean()):.0f} {unit} {more if off.mean() >= 0 else less}"
        for off, unit, more, less in (
            (warmer, "F", "warmer", "colder"),
            (damper, "points", "damper", "drier"),
        )
    ]
    most = [f"{climate.MONTHS[int(np.abs(off).argmax())]} by {np.abs(off).max():.0f} {unit}"
            for off, unit in ((warmer, "F"), (damper, "points"))]  # fmt: skip
    return (
        f"Your year is {words[0]} and {words[1]} than that of {offer.name}, {offer.miles:,.0f} miles off. "
        f"The furthest apart are {most[0]} and {most[1]}."
    )


def own_year(
    name: str, temp_f: Sequence[float], rh_pct: Sequence[float], offer: Offer | None, spot: Spot | None
) -> Site:
    """Return a place of one's own: its months, and from the station near by what a thermometer does not tell.

    Parameters
    ----------
    name : str
        What to call it.
    temp_f, rh_pct : sequence of 12
        Means, January to December.
    offer : Offer, optional
        Station whose day's range, wind and sun are taken.
    spot : Spot, optional
        Where it is.

    Returns
    -------
    Site

    Examples
    --------
    >>> spot = find("54665")[0]
    >>> home = own_year("Home", [20, 24, 35, 47, 58, 67, 71, 69, 61, 50, 37, 25], [75] * 12,
    ...                 near(spot.latitude, spot.longitude)[0], spot)
    >>> home.has_sun, int(home.monthly.isna().any().sum())
    (True, 2)
    """
    if offer is None or spot is None:
        return climate.from_monthly(name, temp_f, rh_pct)
    theirs, mine = climate.get(offer.name).monthly, np.asarray(temp_f, dtype=float)
    return climate.from_monthly(
        name,
        temp_f,
        rh_pct,
        temp_max_f=mine + (theirs.temp_max_f - theirs.temp_f).to_numpy(),
        temp_min_f=mine + (theirs.temp_min_f - theirs.temp_f).to_numpy(),
        wind_mph=theirs.wind_mph.to_numpy(),
        sun_kwh_m2_day=theirs.sun_kwh_m2_day.to_numpy(),
        latitude=spot.latitude,
        longitude=spot.longitude,
        elevation_ft=float(round(offer.elevation_ft - (0 if np.isnan(offer.higher_ft) else offer.higher_ft))),
        source=f"own temperature and humidity; the day's range, wind and sun of {offer.name}",
    )
