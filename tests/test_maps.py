"""Maps of the 48 states: the projection, the scale for all eyes and gray print, the sentences, places off the map."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from woodcalc import climate, drying, movement, tables
from woodcalc.figures import maps
from woodcalc.figures.drying import stacked
from woodcalc.figures.style import to_img
from woodcalc.lesson.maps import rests_map_panel, stacks_map_panel
from woodcalc.records import choices

OAK = ("northern red oak", "4/4")


@pytest.fixture(autouse=True)
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))


def test_a_published_example_of_the_projection():
    """Snyder 1987 (USGS PP 1395), p. 291, sphere: 35 N, 75 W is at x = 0.2952720, y = 0.2416774. From memory."""
    assert np.allclose(maps.albers(-75.0, 35.0), [0.2952720, 0.2416774], atol=1e-7)


def test_equal_areas_are_equal_on_the_map():
    """The area of a small square of degrees on the map, against its area on the ball."""
    d = 1e-4
    for lon, lat in [(-124, 48), (-110, 32), (-96, 38), (-75, 45), (-81, 25)]:
        east = (maps.albers(lon + d, lat) - maps.albers(lon - d, lat)) / (2 * np.radians(d))
        north = (maps.albers(lon, lat + d) - maps.albers(lon, lat - d)) / (2 * np.radians(d))
        area = east[0] * north[1] - east[1] * north[0]
        assert area == pytest.approx(np.cos(np.radians(lat)), rel=1e-6)


def test_towns_lie_where_an_atlas_has_them():
    """Cities by the border of a state are within a quarter of a degree of its outline, and none is off the map."""
    lines = tables.read("us_outlines")[["longitude", "latitude"]].to_numpy()
    stations = climate.stations().set_index("name")
    for name in ("El Paso, TX", "Detroit City, MI", "Key West, FL"):
        here = stations.loc[name, ["longitude", "latitude"]].to_numpy(dtype=float)
        assert np.hypot(*(lines - here).T).min() < 0.35, name
    assert all(maps.on_map(climate.get(n)) for n in climate.sites().name if n[-2:] not in maps.NOT_DRAWN)
    assert not any(maps.on_map(climate.get(n)) for n in climate.sites().name if n[-2:] in maps.NOT_DRAWN)


# Machado, Oliveira, Fernandes 2009, IEEE TVCG 15(6), severity 1.0: linear red, green, blue as three kinds of eyes see
# them; from memory. The first is everybody's.
EYES = {
    "usual": np.eye(3),
    "no red cones": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "no green cones": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
    "no blue cones": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
}  # fmt: skip


def _lab(color, eyes):
    """A color in CIELAB (D65), as those eyes see it."""
    code = np.array([int(color[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    linear = np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    xyz = to_xyz @ np.clip(np.array(EYES[eyes]) @ linear, 0, 1) / [0.9505, 1.0, 1.089]
    f = np.where(xyz > 0.008856, np.cbrt(xyz), 7.787 * xyz + 16 / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


@pytest.mark.parametrize("eyes", EYES)
def test_each_step_is_darker_than_the_one_before_for_all_eyes(eyes):
    """Ten of lightness is about what side-by-side patches in gray print need; 15 of CIE76 is plainly another color."""
    seen = np.array([_lab(look["color"], eyes) for look in maps.STEPS])
    assert (np.diff(seen[:, 0]) < -10).all()
    assert (np.linalg.norm(np.diff(seen, axis=0), axis=1) > 15).all()


def test_neighbors_on_the_scale_have_other_shapes():
    kinds = [look["kind"] for look in maps.STEPS]
    assert all(a != b for a, b in zip(kinds, kinds[1:], strict=False))
    round_ones = [look["size"] for look in maps.STEPS if look["kind"] == "o"]
    assert max(round_ones) > 1.3 * min(round_ones)


def _dots(page):
    """How many markers of each step a page holds."""
    root = ET.fromstring(page.svg())
    paths = [
        p for p in root.iter("{http://www.w3.org/2000/svg}path") if p.get("stroke-width") in ("0.60", "0.84")
    ]
    return {
        look["color"]: sum(len(re.findall("M", p.get("d"))) for p in paths if p.get("fill") == look["color"])
        for look in maps.STEPS
    }


def test_every_station_of_the_48_states_has_its_dot():
    values = climate.everywhere("emc_pct")[:, 4]
    stations = climate.stations()
    drawn = ~stations.state.isin(maps.NOT_DRAWN).to_numpy()
    assert drawn.sum() == 925
    step = maps.step_of(values[drawn], maps.RESTS)
    mine = int(maps.step_of(climate.get("Madison").monthly.emc_pct[5], maps.RESTS))
    page, _ = maps.rests_outdoors("Madison, WI", 5)
    want = {
        look["color"]: int((step == k).sum()) + 1 + (k == mine) for k, look in enumerate(maps.STEPS)
    }  # and the key
    assert _dots(page) == want


def test_the_sentence_says_what_the_grid_says():
    """The quickest and the slowest of every fourth place by `grid` lie between the ends that the map tells."""
    _, said = maps.stacks_outdoors(*OAK, 5, "Madison, WI", "days")
    low, high, mine = (
        int(re.search(p, said)[1]) for p in (r"(\d+) days at", r", (\d+) days at", r"WI: (\d+) days")
    )
    stations = climate.stations()
    sites = [climate.get(n) for n in stations.station_id[~stations.state.isin(maps.NOT_DRAWN)][::4]]
    days = drying.grid(sites, [5], *OAK).days
    assert low <= days.min() + 0.5 and days.max() - 0.5 <= high
    assert mine == round(float(drying.grid("Madison", [5], *OAK).days[0]))
    assert "Needles, CA" in said or "Blythe" in said or "Yuma" in said  # the low desert of the Colorado


def test_where_it_stops_is_what_the_forecast_says():
    _, said = maps.stacks_outdoors(*OAK, 5, "Madison, WI", "stops")
    assert said.endswith(f"Madison, WI: {drying.air_dry(*OAK, 'Madison', 5).stops_at_pct:.0f} %.")


def test_a_house_is_told_by_its_months():
    _, said = maps.houses("Madison, WI", 68, 3, 7)
    dry = movement.indoors("Madison").emc_pct <= 7
    assert said.endswith(f"Madison, WI: {dry.sum()} months, December to February.")
    assert list(dry.index[dry]) == [1, 2, 12]
    assert "12 months." in maps.houses("Phoenix, AZ", 75, 0, 10)[1]
    page, said = maps.houses("Key West, FL", 68, 3, 7)
    many = (movement.indoors_everywhere() <= 7).sum(axis=1)[~climate.stations().state.isin(maps.NOT_DRAWN)]
    assert f"at {(many >= 6).sum()} of the 925 places, in no month at {(many == 0).sum()}." in said
    looks = [look["color"] for look in maps.STEPS]
    assert (
        _dots(page)[looks[0]] == (many >= 10).sum() + 1
        and _dots(page)[looks[3]] == ((many - 4) // 2 == 0).sum() + 1
    )
    assert maps.houses("Key West, FL", 68, 3, 5)[1].endswith("Key West, FL: no month.")


def test_a_place_that_is_not_on_the_map_is_told_all_the_same():
    for draw in (
        lambda place: maps.rests_outdoors(place, 5),
        lambda place: maps.stacks_outdoors(*OAK, 5, place, "days"),
        lambda place: maps.houses(place, 68, 3, 7),
    ):
        page, said = draw("Anchorage, AK")
        assert said.endswith("It is not on this map.") and "Anchorage, AK" not in page.svg()
        assert "Madison, WI" in draw("Madison, WI")[0].svg()


def test_twelve_months_of_ones_own_are_marked_where_they_lie():
    months = dict(temp_f=[20, 24, 35, 47, 58, 67, 71, 69, 61, 50, 37, 25], rh_pct=[75] * 12)
    climate.know(climate.from_monthly("Behind the barn", **months, latitude=43.5, longitude=-90.9))
    climate.know(climate.from_monthly("Nowhere", **months))
    there, said = maps.stacks_outdoors(*OAK, 5, "Behind the barn", "days")
    assert "Behind the barn: " in there.svg() and "four stacks in five" in said
    assert maps.rests_outdoors("Nowhere", 5)[1].endswith("It is not on this map.")


def test_the_chosen_place_and_wood_stand_on_the_maps():
    choices.keep(place="Beckley, WV", species="white oak", thickness="8/4", month=9)
    assert "Beckley, WV" in rests_map_panel().reading
    stacks = stacks_map_panel()
    assert (
        stacks.reading.startswith("White oak 8/4, stacked in mid September") and "Beckley" in stacks.reading
    )


@pytest.mark.parametrize("wood", ["yellow-poplar", "white oak", "balsam fir"])
@pytest.mark.parametrize("thickness", ["4/4", "8/4", "16/4"])
@pytest.mark.filterwarnings("ignore:.* is thicker than 8/4:woodcalc.checks.RangeWarning")
def test_the_steps_of_days_rise_and_the_picture_stays_small(wood, thickness):
    ends, names = maps.days_scale(wood, thickness)
    assert (np.diff(ends) > 0).all() and len(names) == len(maps.STEPS) == len(ends) + 1
    for month in (2, 6):
        page, said = maps.stacks_outdoors(wood, thickness, month, "Madison, WI", "days")
        assert len(to_img(page, said)) < 80_000
        assert not re.search(r"\b(nan|inf)\b", said)


def _ring(page):
    """The middle of the ring, from the one thick outline."""
    root = ET.fromstring(page.svg())
    [ring] = [p for p in root.iter("{http://www.w3.org/2000/svg}path") if p.get("stroke-width") == "2.20"]
    return np.array(re.findall(r"[\d.]+", ring.get("d")), dtype=float).reshape(-1, 2).mean(axis=0)


def test_the_ring_lies_where_the_place_does():
    """Two places fix the map's scale and corner; the others must follow, to a px of 6 km."""
    names = ["Portland, ME", "Needles, CA", "Madison, WI", "Mobile, AL", "Spokane, WA", "Key West, FL"]
    rings = np.array([_ring(maps.rests_outdoors(name, 5)[0]) for name in names])
    at = np.array([maps.albers(s.longitude, s.latitude) for s in map(climate.get, names)]) * [1, -1]
    scale = np.ptp(rings[:2], axis=0) / np.ptp(at[:2], axis=0)
    assert scale[0] == pytest.approx(scale[1], rel=2e-3)
    assert np.abs(rings - rings[0] - (at - at[0]) * scale).max() < 1


@pytest.mark.parametrize(
    ("typed", "station"),
    [
        ("55802", "Duluth, MN"), ("Duluth MN", "Duluth, MN"), ("Dulut, Minnesota", "Duluth, MN"),
        ("702730", "Anchorage, AK"),
        ("Duluth, MN", "Duluth, MN"), ("46.8, -92.1", "Duluth, MN"), ("96813", "Honolulu"),
    ],
)  # fmt: skip
def test_any_dot_is_read_off_by_what_people_type(typed, station):
    shown = stacks_map_panel()
    shown.asked.value = typed
    assert shown.also.startswith(station) and f" {shown.also}: " in shown.reading
    days = drying.everywhere(*OAK, stacked(shown.dials["month"].value))[maps.station_row(shown.also)]
    assert f" {shown.also}: {days:,.0f} days." in shown.reading


def test_what_is_read_off_stays_while_the_dials_move_and_goes_with_the_text():
    shown = stacks_map_panel()
    shown.asked.value = "Duluth, MN"
    before = shown.reading
    shown.dials["month"].value = 10
    shown.dials["wood"].value = "white ash"
    shown.dials["shown"].value = "stops"
    assert shown.also == "Duluth, MN" and "Duluth, MN: " in shown.reading != before
    assert "Squared" in shown.draw(**{n: d.value for n, d in shown.dials.items()}, big=False)[0].svg()
    shown.asked.value = " "
    assert shown.also == "" and "Duluth" not in shown.reading


def test_what_is_no_place_is_said_and_the_map_stays():
    shown = rests_map_panel()
    shown.asked.value = "Duluth, MN"
    kept = shown.reading
    for typed in ("Xyzzyville, MN", "K1A 0B1", "99999", "92.1", "Duluth, Ontario"):
        shown.asked.value = typed
        assert "woodcalc-warn" in shown.answer.value and shown.reading == kept, typed
    choices.keep_place(climate.from_monthly("My creek", [50] * 12, [70] * 12))
    shown.asked.value = "My creek"
    assert "a place of your own" in shown.answer.value


def test_a_tap_reads_off_the_dot_that_is_next_to_it():
    """Every dot is found by its own place on the picture, in both sizes of print, but where another lies on it."""
    for big in (False, True):
        names, shares = maps.dots(big)
        found = [maps.station_at(x, y, big) for x, y in shares[::7]]
        assert np.mean([a == b for a, b in zip(found, names[::7], strict=True)]) > 0.99
    shown = rests_map_panel()
    shown.point(*shares[3])
    assert shown.also == shown.asked.value and shown.also in shown.reading
    kept = shown.also
    shown.point(0.02, 0.02)  # in the title
    assert shown.also == kept


@pytest.mark.parametrize(
    "also", ["Milwaukee, WI", "Caribou, ME", "Key West, FL", "Hoquiam, WA", "Imperial, CA"]
)
@pytest.mark.parametrize("big", [False, True])
def test_the_two_numbers_do_not_lie_on_each_other(also, big):
    from svg_text import off_page, written_over

    for place in ("Madison, WI", "Caribou, ME", also):
        page, _ = maps.stacks_outdoors(*OAK, 5, place, "days", also, big=big)
        assert not off_page(page.svg()) and not written_over(page.svg())


@pytest.mark.parametrize("place", ["Madison, WI", "Wichita, KS", "Atlanta, GA", "Key West, FL", "Tucson, AZ"])
@pytest.mark.parametrize("big", [False, True])
def test_the_number_hides_no_dot(place, big):
    """White ground under bold words, of the one number: no station's dot lies under it."""
    page, _ = maps.rests_outdoors(place, 5, big=big)
    names, shares = maps.dots(big)
    root = ET.fromstring(page.svg())
    [ground] = [
        p for p in root.iter("{http://www.w3.org/2000/svg}path") if "0.85" in (p.get("opacity") or "")
    ]
    at = np.array(re.findall(r"[\d.]+", ground.get("d")), dtype=float).reshape(-1, 2)
    low, high = at.min(axis=0), at.max(axis=0)
    dots = shares * page.size * 100
    assert np.ptp(at, axis=0).min() > 10 and not ((dots > low) & (dots < high)).all(axis=1).any()


def test_the_buttons_go_to_the_next_station_each_way():
    """As typed on or tapped: from the marked place, then on from what is read off; at the border it is said."""
    shown = rests_map_panel()
    here = climate.get(shown.dials["place"].value)
    shown.steps["east"].click()
    first = climate.get(shown.also)
    assert (
        shown.also == shown.asked.value and shown.also in shown.reading and first.longitude > here.longitude
    )
    shown.steps["east"].click()
    assert climate.get(shown.also).longitude > first.longitude
    shown.steps["north"].click()
    assert climate.get(shown.also).latitude > first.latitude - 1
    shown.asked.value = "Key West, FL"
    shown.steps["south"].click()
    assert (
        "No station of this map lies south of Key West, FL" in shown.answer.value
        and shown.also == "Key West, FL"
    )
    shown.asked.value = "Anchorage, AK"
    shown.steps["west"].click()
    assert "is not on this map" in shown.answer.value


def test_what_was_misspelled_is_told_with_its_other_spellings():
    shown = rests_map_panel()
    shown.asked.value = "Viroqa, WI"
    assert "read as Viroqua, WI" in shown.answer.value and "Other spellings: Viola, WI." in shown.answer.value
    assert "places of that name" not in shown.answer.value
