"""TOML files: limits, lines, units."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.readers.tomlfile import Table, read_toml


def read(tmp_path: Path, data: str | bytes) -> Table:
    path = tmp_path / "x.toml"
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return read_toml(path)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ("a = 1\nb = \n", "x.toml, line 2: this is not TOML (Invalid value)"),
        ("a = 1\na = 2\n", "line 2: this is not TOML (Cannot overwrite a value)"),
        ('a = "', "this is not TOML (Unterminated string"),
        (b"a = 1\nb = '\xff'", "line 2: this is not UTF-8 text"),
        ("a = " + "[" * 5000, "nested too deep"),
        ("a = " + "9" * 5000, "not TOML"),
        ("a." * 6000 + "a = 1", "line 1: the line has more than 10000 characters"),
        ("#" + "x\n" * 2**18, "larger than 256 kB"),
        ("", "the file is empty"),
    ],
)
def test_what_is_not_toml_is_told_by_line(tmp_path: Path, data: str | bytes, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, data)
    assert said in str(caught.value)


def test_a_byte_order_mark_and_dos_lines(tmp_path: Path) -> None:
    assert read(tmp_path, b"\xef\xbb\xbfa = 1\r\nb = 2\r\n").values == {"a": 1, "b": 2}


def test_values_with_units(tmp_path: Path) -> None:
    table = read(tmp_path, "l = '2 ft'\nt = '30 min'\ns = '1 m/s'\nx = nan\nb = true\nz = '0 m'")
    assert table.length_m("l", most_m=1.0) == pytest.approx(0.6096)
    assert table.duration_s("t", most_s=1e5) == 1800.0
    assert table.speed_kn("s") == pytest.approx(3600 / 1852)
    assert table.length_m("none", most_m=1.0) is None
    assert table.length_m("z", most_m=1.0) == 0.0
    assert table.truth("b") is True
    for read_it, said in (
        (lambda: table.length_m("l", most_m=0.5), "l: '2 ft' is more than 0.5 m"),
        (lambda: table.length_m("z", most_m=1.0, above_zero=True), "z: '0 m' is not above zero"),
        (lambda: table.duration_s("t", most_s=60.0), "more than"),
        (lambda: table.number("x"), "x: nan is not a finite number"),
        (lambda: table.number("b"), "b: True is not a number"),
        (lambda: table.table("l"), "l: '2 ft' is not a table; write [l]"),
        (lambda: table.tables("l", most=1), "l: write each one under [[l]]"),
    ):
        with pytest.raises(BadInput) as caught:
            read_it()
        assert said in str(caught.value)


@given(st.text(alphabet="a=.[]{}\"'1-:TZ\n #\\", max_size=120) | st.text(max_size=40))
def test_no_text_raises_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    try:
        table = read(tmp_path_factory.mktemp("toml"), text.encode("utf-8", "surrogatepass"))
    except BadInput as error:
        assert "\n" not in str(error)
        return
    assert isinstance(table.values, dict)
