"""Weather files: what they say, how their labels are understood, and what is refused."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

import typical_years as ty
from plumbrail.errors import PlumbrailError, WeatherError
from plumbrail.weather.distance import far_from, ground_distance
from plumbrail.weather.files import read_year
from plumbrail.weather.usual import MODULE_WIND
from plumbrail.weather.year import Origin


def write(folder, lines, name="made.epw"):
    target = folder / name
    target.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return target


@pytest.fixture(scope="module")
def lines():
    return ty.epw(ty.year("Greensboro"))


def refused(folder, lines, *words, name="made.epw"):
    with pytest.raises(WeatherError) as error:
        read_year(write(folder, lines, name))
    for word in (*words, name):
        assert word in str(error.value)


@pytest.mark.parametrize("name", ty.FILES)
def test_it_reads_what_an_independent_reader_reads(name):
    """The library's own readers, which know nothing of hours and gaps, as the other witness."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pvlib.iotools import read_tmy2, read_tmy3

        theirs = (read_tmy2 if name == "Miami" else read_tmy3)(str(ty.path(name)))[0]
    ours, scale = ty.year(name), 0.1 if name == "Miami" else 1.0
    names = ("GHI", "DNI", "DHI", "DryBulb", "Wspd") if name == "Miami" else (
        "ghi", "dni", "dhi", "temp_air", "wind_speed")  # fmt: skip
    for field, column in zip((ours.ghi, ours.dni, ours.dhi), names[:3], strict=True):
        np.testing.assert_array_equal(field, theirs[column])
    np.testing.assert_allclose(ours.air, scale * theirs[names[3]] + 273.15, rtol=1e-12)
    np.testing.assert_allclose(ours.wind, MODULE_WIND * scale * theirs[names[4]], rtol=1e-12)
    assert ours.origin is Origin.FILE


def test_epw_read_by_an_independent_reader(tmp_path, lines):
    target = write(tmp_path, lines)
    from pvlib.iotools import read_epw

    theirs, head = read_epw(str(target))
    ours = read_year(target)
    np.testing.assert_array_equal(ours.ghi, theirs["ghi"])
    np.testing.assert_array_equal(ours.dni, theirs["dni"])
    np.testing.assert_array_equal(ours.dhi, theirs["dhi"])
    assert np.degrees(ours.latitude) == pytest.approx(head["latitude"])
    assert ours.utc_offset == 3600 * head["TZ"]
    assert "Made Up" in ours.source and "EPW" in ours.source


@pytest.mark.parametrize("name", ty.FILES)
def test_labels_of_the_three_years_mean_the_end_of_the_hour(name):
    assert any("end of the hour" in n for n in ty.year(name).notes)


def test_hour_beginning_labels_are_found_by_test(tmp_path, lines):
    year = read_year(write(tmp_path, ty.epw(ty.year("Greensboro"), shift=-1)))
    assert any("beginning of the hour" in n for n in year.notes)
    np.testing.assert_array_equal(year.ghi, ty.year("Greensboro").ghi)


def test_labels_at_the_middle_of_the_hour(tmp_path, lines):
    half = [r.replace(",60,?9", ",30,?9") if i > 7 else r for i, r in enumerate(lines)]
    year = read_year(write(tmp_path, half))
    assert any("middle of the hour" in n for n in year.notes)
    np.testing.assert_array_equal(year.ghi, ty.year("Greensboro").ghi)


def test_a_wrong_time_zone_or_longitude_is_refused(tmp_path):
    made = ty.epw(ty.year("Greensboro"), zone=-7)
    refused(tmp_path, made, "2.5 h before its labels", "time zone")
    east = ty.epw(ty.year("Greensboro"))
    east[0] = east[0].replace("-79.95", "79.95")
    refused(tmp_path, east, "fits no place of the sun")


def test_mixed_up_columns_are_refused(tmp_path, lines):
    def swap(row):
        v = row.split(",")
        v[13], v[14] = v[14], v[13]
        return ",".join(v)

    refused(tmp_path, lines[:8] + [swap(r) for r in lines[8:]], "columns may be mixed up")


def test_the_form_is_known_by_content_not_by_name(tmp_path, lines):
    assert "EPW" in read_year(write(tmp_path, lines, "year.csv")).source


def test_a_byte_order_mark_and_odd_names_do_no_harm(tmp_path, lines):
    target = tmp_path / "made.epw"
    own = "\r\n".join([lines[0].replace("Made Up", "Malmö"), *lines[1:]])
    target.write_bytes(b"\xef\xbb\xbf" + own.encode("latin-1"))
    assert read_year(target).ghi.sum() == ty.year("Greensboro").ghi.sum()


def test_tmy2_stations_of_more_than_one_word(tmp_path):
    own = ty.path("Miami").read_text(encoding="latin-1").splitlines()
    own[0] = own[0].replace("MIAMI     ", "FORT MIAMI")
    year = read_year(write(tmp_path, own, "two.tm2"))
    assert "Fort Miami FL" in year.source
    assert np.degrees(year.latitude) == pytest.approx(25.8)


def test_leap_days_are_dropped_with_a_note(tmp_path, lines):
    at = 8 + 59 * 24
    leap = [r.replace(",2,28,", ",2,29,", 1) for r in lines[at - 24 : at]]
    year = read_year(write(tmp_path, lines[:at] + leap + lines[at:]))
    assert any("29 February left out (24 rows)" in n for n in year.notes)
    np.testing.assert_array_equal(year.ghi, ty.year("Greensboro").ghi)


def test_short_gaps_are_filled_on_a_straight_line(tmp_path, lines):
    noon = 8 + 200 * 24 + 11
    year = read_year(write(tmp_path, lines[:noon] + lines[noon + 2 :]))
    whole = ty.year("Greensboro")
    h = noon - 8
    expect = np.interp([h, h + 1], [h - 1, h + 2], whole.ghi[[h - 1, h + 2]])
    np.testing.assert_allclose(year.ghi[h : h + 2], expect)
    assert any("2 hours missing" in n for n in year.notes)
    v = lines[noon].split(",")
    v[6] = "99.9"
    year = read_year(write(tmp_path, [*lines[:noon], ",".join(v), *lines[noon + 1 :]]))
    assert any("Air temperature missing in 1 hour," in n for n in year.notes)
    assert year.air[h] == pytest.approx(whole.air[[h - 1, h + 1]].mean(), abs=0.06)


def test_long_gaps_are_refused_with_their_day(tmp_path, lines):
    at = 8 + 31 * 24
    refused(tmp_path, lines[:at] + lines[at + 8 :], "8 hours from 1 February, 0:00")


def test_many_gaps_are_refused(tmp_path, lines):
    def without(row):
        v = row.split(",")
        v[14] = "9999"
        return ",".join(v)

    some = [without(r) if i % 50 == 20 else r for i, r in enumerate(lines[8:])]
    refused(tmp_path, lines[:8] + some, "radiation straight from the sun", "at most 87")


def test_truncated_files_say_where_they_end(tmp_path, lines):
    refused(tmp_path, lines[: 8 + 2000], "2,000 hours", "line 2008", "25 March, 7:00", "8,760")
    refused(tmp_path, lines[:8], "no hours after the heading")
    half = [*lines[:300], lines[300][:20]]
    refused(tmp_path, half, "line 301")


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        (13, "-5", "radiation on level ground of -5 cannot be"),
        (14, "abc", "'abc' is no radiation straight from the sun"),
        (6, "81", "air temperature of 81"),
        (15, "2500", "radiation from the sky of 2500"),
        (1, "13", "no day 1 of month 13"),
        (2, "32", "no day 32 of month 1"),
        (3, "27", "there is no hour 27"),
        (1, "x", "no month, day and hour"),
        (13, "nan", "radiation on level ground of nan cannot be"),
    ],
)
def test_a_wrong_value_is_named_with_its_line(tmp_path, lines, field, value, words):
    v = lines[18].split(",")
    v[field] = value
    refused(tmp_path, [*lines[:18], ",".join(v), *lines[19:]], "line 19", words)


def test_older_files_end_before_snow_and_albedo(tmp_path, lines):
    short = lines[:8] + [",".join(r.split(",")[:30]) for r in lines[8:]]
    year = read_year(write(tmp_path, short))
    assert year.snowfall is None
    np.testing.assert_array_equal(year.albedo, 0.2)
    refused(tmp_path, lines[:8] + [",".join(r.split(",")[:14]) for r in lines[8:]], "line 9",
            "ends before")  # fmt: skip


def test_a_year_without_beam_or_without_light_is_refused(tmp_path, lines):
    def dull(row, times):
        v = row.split(",")
        v[13] = v[15] = str(float(v[13]) * times)
        v[14] = "0"
        return ",".join(v)

    for times in (0, 1):
        made = lines[:8] + [dull(r, times) for r in lines[8:]]
        refused(tmp_path, made, "the same wherever the sun stands")


def test_an_hour_given_twice_is_refused(tmp_path, lines):
    refused(tmp_path, [*lines[:30], lines[29], *lines[30:]], "line 31", "second row")


@pytest.mark.parametrize(
    "text",
    ["", "hello", "{}", "a,b,c\n1,2,3\n", "Source,Location ID\n1,2\n", "\n\n\n", "LOCATION,a,b\n"],
)
def test_other_files_are_refused_in_words(tmp_path, text):
    target = tmp_path / "other.txt"
    target.write_text(text, encoding="utf-8")
    with pytest.raises(WeatherError, match=r"other\.txt"):
        read_year(target)


def test_no_file_a_folder_and_a_picture(tmp_path):
    for bad in (tmp_path / "none.epw", tmp_path):
        with pytest.raises(PlumbrailError, match="cannot be read"):
            read_year(bad)
    picture = tmp_path / "a.png"
    picture.write_bytes(b"\x89PNG\r\n\x00\x00")
    with pytest.raises(WeatherError, match="no text file"):
        read_year(picture)


def test_a_lost_tmy3_column_is_named(tmp_path):
    own = ty.path("Greensboro").read_text(encoding="latin-1").splitlines()
    own[1] = own[1].replace("DNI (W/m^2)", "Beam")
    refused(tmp_path, own, "line 2", "DNI (W/m^2)")
    own[0] = own[0].replace("36.100", "north")
    own[1] = own[1].replace("Beam", "DNI (W/m^2)")
    refused(tmp_path, own, "line 1", "no place")


def test_fresh_snow_comes_from_rises_of_the_depth(tmp_path):
    depth = np.zeros(8760)
    depth[100:200] = 10
    depth[150:200] = 25
    depth[744:800] = 30  # first of February: another year's weather begins, nobody saw it fall
    year = read_year(write(tmp_path, ty.epw(ty.year("Greensboro"), snow=depth)))
    assert year.snowfall is not None
    assert year.snowfall[100] == pytest.approx(0.10)
    assert year.snowfall[150] == pytest.approx(0.15)
    assert year.snowfall.sum() == pytest.approx(0.25)
    assert read_year(write(tmp_path, ty.epw(ty.year("Greensboro")))).snowfall is None
    assert ty.year("Greensboro").snowfall is None
    assert ty.year("Miami").snowfall is not None and ty.year("Miami").snowfall.sum() == 0


def test_albedo_from_the_file_where_it_is_one(tmp_path):
    np.testing.assert_array_equal(ty.year("Greensboro").albedo, 0.2)  # zeros in the file
    assert any("none valid" in n for n in ty.year("Greensboro").notes)
    assert ty.year("Sand Point").albedo.max() == 0.25
    year = read_year(write(tmp_path, ty.epw(ty.year("Greensboro"), albedo=0.37)))
    np.testing.assert_array_equal(year.albedo, 0.37)


def test_far_stations_are_named():
    year = ty.year("Greensboro")
    assert far_from(year, year.latitude, year.longitude, year.elevation) is None
    words = far_from(year, year.latitude + np.radians(1), year.longitude, year.elevation + 400)
    assert words is not None and "111 km" in words and "400 m" in words and "below" in words
    assert far_from(year, year.latitude + np.radians(0.7), year.longitude, 0.0) is None


def test_a_degree_of_latitude_and_a_quarter_of_the_earth():
    assert ground_distance(0.0, 0.0, np.radians(1.0), 0.0) == pytest.approx(111_195, abs=1)
    assert ground_distance(0.0, 0.0, 0.0, np.pi / 2) == pytest.approx(np.pi / 2 * 6371008.8)
    assert ground_distance(0.3, 3.1, 0.3, -3.1) < 600_000  # over the date line
