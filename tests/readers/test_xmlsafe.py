"""Hostile and broken XML ends in one line, quickly, and nothing is fetched."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from routecheck.model.errors import BadInput
from routecheck.readers import xmlsafe
from routecheck.readers.xmlsafe import read_xml, root_name

KEEP = {"gpx": ("rte",), "rte": ("name",)}
BOMB = (
    '<!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">'
    + "".join(
        f'<!ENTITY {n} "{f"&{m};" * 10}">' for m, n in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + "]><gpx><rte><name>&i;</name></rte></gpx>"
)


def written(tmp_path: Path, data: str | bytes) -> Path:
    path = tmp_path / "x.gpx"
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return path


def refused(tmp_path: Path, data: str | bytes) -> str:
    with pytest.raises(BadInput) as caught:
        read_xml(written(tmp_path, data), root="gpx", keep=KEEP, namespaces=())
    return str(caught.value)


def names(path: Path) -> list[str]:
    document = read_xml(path, root="gpx", keep=KEEP, namespaces=())
    return [route.words("name") for route in document.root.all("rte")]


@pytest.mark.parametrize(
    "data",
    [
        BOMB,
        '<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx>&x;</gpx>',
        '<!DOCTYPE gpx SYSTEM "http://127.0.0.1:9/none.dtd"><gpx/>',
        '<!DOCTYPE gpx [<!ENTITY % p SYSTEM "file:///etc/passwd"> %p;]><gpx/>',
        "<!DOCTYPE gpx><gpx/>",
    ],
)
def test_document_types_and_entities_are_refused(tmp_path: Path, data: str) -> None:
    line = refused(tmp_path, data)
    assert "line 1" in line and "document type or entities" in line
    assert "root:" not in line


def test_an_entity_that_nothing_declares(tmp_path: Path) -> None:
    assert "line 2" in refused(tmp_path, "<gpx>\n&none;</gpx>")


def test_deep_nesting_is_refused_and_quickly(tmp_path: Path) -> None:
    began = time.monotonic()
    line = refused(tmp_path, "<gpx>" + "<rte>" * 200_000)
    assert "nested more than 100" in line
    assert "nested more than 100" in refused(tmp_path, "<gpx>" + "<other>" * 200_000)
    assert time.monotonic() - began < 5.0


@pytest.mark.parametrize("cut", [6, 20, 40, 60])
def test_a_file_cut_short(tmp_path: Path, cut: int) -> None:
    whole = "<gpx>\n<rte>\n<name>Out and home</name>\n</rte>\n<!-- end -->\n</gpx>"
    assert "cut short" in refused(tmp_path, whole[:cut])
    assert names(written(tmp_path, whole)) == ["Out and home"]


@pytest.mark.parametrize("data", [b"", b"\n \n", b"\xef\xbb\xbf", b"\xff\xfe", b"\0\0\0"])
def test_an_empty_file(tmp_path: Path, data: bytes) -> None:
    assert "the file is empty" in refused(tmp_path, data)


@pytest.mark.parametrize(
    ("said", "codec"),
    [
        ("UTF-8", "utf-8"),
        ("UTF-8", "utf-8-sig"),
        ("UTF-16", "utf-16"),
        ("UTF-16", "utf-16-be"),
        ("ISO-8859-1", "latin-1"),
        ("windows-1252", "cp1252"),
    ],
)
def test_encodings(tmp_path: Path, said: str, codec: str) -> None:
    text = f'<?xml version="1.0" encoding="{said}"?><gpx><rte><name>Trégor ü</name></rte></gpx>'
    data = text.encode(codec)
    if codec == "utf-16-be":
        data = b"\xfe\xff" + data
    assert names(written(tmp_path, data)) == ["Trégor ü"]


def test_limits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    many = "<gpx>" + "<rte/>" * 50 + "<other/>" * 50 + "</gpx>"
    assert len(names(written(tmp_path, many))) == 50
    monkeypatch.setattr(xmlsafe, "MOST_KEPT", 49)
    assert "49 elements to be read" in refused(tmp_path, many)
    monkeypatch.setattr(xmlsafe, "MOST_KEPT", 1000)
    monkeypatch.setattr(xmlsafe, "MOST_ELEMENTS", 99)
    assert "more than 99 elements" in refused(tmp_path, many)
    monkeypatch.setattr(xmlsafe, "MOST_BYTES", 2**20)
    assert "larger than 1 MB" in refused(tmp_path, many + " " * 2**20)


def test_what_is_not_kept_is_counted(tmp_path: Path) -> None:
    path = written(tmp_path, "<gpx><x><rte/><x/></x><rte><y><name>no</name></y></rte><x/></gpx>")
    document = read_xml(path, root="gpx", keep=KEEP, namespaces=())
    assert document.left == {"x": 2, "y": 1}
    assert len(document.root.all("rte")) == 1
    assert document.root.all("rte")[0].words("name") == ""


def test_another_namespace_is_not_ours(tmp_path: Path) -> None:
    data = '<gpx xmlns:o="urn:o"><o:rte/><rte><name>a</name></rte></gpx>'
    assert names(written(tmp_path, data)) == ["a"]


def test_no_such_file_and_no_file(tmp_path: Path) -> None:
    for path, said in ((tmp_path / "none.gpx", "no such file"), (tmp_path, "not a plain file")):
        with pytest.raises(BadInput, match=said):
            read_xml(path, root="gpx", keep=KEEP, namespaces=())


def test_the_root_alone_is_read(tmp_path: Path) -> None:
    assert root_name(written(tmp_path, '<a:gpx xmlns:a="urn:a"><broken')) == "gpx"
