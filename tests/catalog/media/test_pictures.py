"""Photographs: upright, in their colours, without position; bombs and broken files end a child process, nothing else."""

import io
import os
import signal
import struct
import subprocess
import sys
import time
import zlib
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from PIL import Image, ImageCms, JpegImagePlugin

from catalog.media.pictures import CHILD_ENVIRONMENT, HOUSE, SIZES, child_command, make_derivatives, read_header
from catalog.media.refused import NotTaken

RED, GREEN, BLUE, WHITE = (255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 255, 255)
CANARY = b"53.72347"


def corners_drawn(width: int = 60, height: int = 90) -> Image.Image:
    """Upright: red upper left, green upper right, blue lower left, white lower right."""
    picture = Image.new("RGB", (width, height), WHITE)
    across, down = width // 2, height // 2
    picture.paste(RED, (0, 0, across, down))
    picture.paste(GREEN, (across, 0, width, down))
    picture.paste(BLUE, (0, down, across, height))
    return picture


def corners_seen(picture: Image.Image) -> list[tuple[int, ...]]:
    """The four corner colours, each channel as full or none."""
    x, y = picture.width - 6, picture.height - 6
    seen = [picture.convert("RGB").getpixel(at) for at in ((5, 5), (x, 5), (5, y), (x, y))]
    return [tuple(255 if channel > 127 else 0 for channel in colour) for colour in seen]


def exif_of_phone(orientation: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F], exif[0x0110] = "Tarn", "Tarn Holm 1"
    exif[0x010E] = "nest at " + CANARY.decode()
    exif.get_ifd(0x8769).update({0x9003: "2026:06:08 14:02:11", 0x9011: "+02:00"})
    exif.get_ifd(0x8825).update({1: "N", 2: (53.0, 43.0, 24.5), 3: "E", 4: (7.0, 21.0, 8.25)})
    return exif


# Exif 2.32 (CIPA DC-008-2019), 4.6.4 A: where the 0th row and the 0th column of the stored picture belong.
EXIF_SIDES = {1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
              5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom")}  # fmt: skip


def stored_as(upright: Image.Image, orientation: int) -> Image.Image:
    """The picture as a camera stores it that writes this orientation, pixel by pixel after the standard's table."""
    first_row, first_column = EXIF_SIDES[orientation]
    turned = first_row in ("left", "right")
    width, height = upright.size
    stored = Image.new("RGB", (height, width) if turned else (width, height))
    from_side = {
        "top": lambda n: n,
        "bottom": lambda n: height - 1 - n,
        "left": lambda n: n,
        "right": lambda n: width - 1 - n,
    }
    for row in range(stored.height):
        for column in range(stored.width):
            a, b = from_side[first_row](row), from_side[first_column](column)
            stored.putpixel((column, row), upright.getpixel((a, b) if turned else (b, a)))
    return stored


@pytest.mark.parametrize(
    ("form", "orientation"),
    [("JPEG", n) for n in EXIF_SIDES] + [(form, n) for form in ("PNG", "WEBP", "TIFF", "AVIF") for n in (2, 6, 7)],
)
def test_every_picture_stands_upright(tmp_path: Path, form: str, orientation: int) -> None:
    path = tmp_path / "original"
    exif = Image.Exif()
    exif[0x0112] = orientation
    stored_as(corners_drawn(), orientation).save(path, form, exif=exif, quality=95)
    derived = make_derivatives(path, tmp_path)
    assert (derived.width, derived.height) == (60, 90)
    for file in derived.files.values():
        with Image.open(file) as seen:
            assert seen.size == (60, 90)
            assert corners_seen(seen) == [RED, GREEN, BLUE, WHITE]


def test_a_heic_is_not_turned_twice(tmp_path: Path, samples: Path) -> None:
    derived = make_derivatives(samples / "phone.heic", tmp_path)
    assert (derived.width, derived.height) == (64, 96)
    with Image.open(derived.files["view"]) as seen:
        assert seen.size == (64, 96)
        assert corners_seen(seen) == [RED, GREEN, BLUE, WHITE]
    assert derived.has_position
    assert derived.camera == "Tarn Holm 1"


def test_what_the_camera_wrote_is_told(tmp_path: Path) -> None:
    corners_drawn().save(tmp_path / "original", "JPEG", exif=exif_of_phone())
    derived = make_derivatives(tmp_path / "original", tmp_path)
    assert derived.taken_at == datetime(2026, 6, 8, 14, 2, 11, tzinfo=timezone(timedelta(hours=2)))
    assert derived.has_position
    assert derived.camera == "Tarn Holm 1"


def test_a_camera_without_clock_or_position_says_so(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = "0000:00:00 00:00:00"
    corners_drawn().save(tmp_path / "original", "JPEG", exif=exif)
    derived = make_derivatives(tmp_path / "original", tmp_path)
    assert (derived.taken_at, derived.has_position, derived.camera) == (None, False, "")


def test_a_time_without_zone_is_kept_without_one(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = "2026:06:08 14:02:11"
    corners_drawn().save(tmp_path / "original", "JPEG", exif=exif)
    assert make_derivatives(tmp_path / "original", tmp_path).taken_at == datetime.fromisoformat("2026-06-08T14:02:11")


XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><r exif:GPSLatitude="' + CANARY + b'N"/></x:xmpmeta>'


def with_thumbnail(exif: Image.Exif) -> bytes:
    """Exif bytes with a second directory that holds a small JPEG (Exif 2.32, 4.5.8): cameras leave one there."""
    out = io.BytesIO()
    corners_drawn(16, 16).save(out, "JPEG")
    block = bytearray(exif.tobytes())
    tiff, order = 6, "<" if block[6:8] == b"II" else ">"
    first = tiff + struct.unpack_from(order + "I", block, tiff + 4)[0]
    link = first + 2 + 12 * struct.unpack_from(order + "H", block, first)[0]
    struct.pack_into(order + "I", block, link, len(block) - tiff)
    at = len(block) - tiff + 2 + 24 + 4
    block += struct.pack(order + "HHHIIHHIII", 2, 0x0201, 4, 1, at, 0x0202, 4, 1, len(out.getvalue()), 0)
    return bytes(block) + out.getvalue()


def iptc_segment() -> bytes:
    """APP13 with a caption (IPTC-NAA 2:120) in Adobe's 8BIM wrapping."""
    record = b"\x1c\x02\x78" + struct.pack(">H", len(CANARY)) + CANARY
    inside = b"Photoshop 3.0\0" + b"8BIM\x04\x04\0\0" + struct.pack(">I", len(record)) + record
    return b"\xff\xed" + struct.pack(">H", len(inside) + 2) + inside


def talkative_jpeg(path: Path) -> None:
    corners_drawn().save(path, "JPEG", exif=with_thumbnail(exif_of_phone()), xmp=XMP, comment=CANARY)
    file = path.read_bytes()
    path.write_bytes(file[:2] + iptc_segment() + file[2:])


def talkative(path: Path, form: str) -> None:
    if form == "JPEG":
        return talkative_jpeg(path)
    options: dict = {"exif": exif_of_phone(), "xmp": XMP}
    if form == "TIFF":
        options = {"tiffinfo": {270: CANARY.decode(), 700: XMP, 33723: CANARY}}
    if form == "PNG":
        from PIL.PngImagePlugin import PngInfo

        notes = PngInfo()
        notes.add_text("Comment", CANARY.decode(), zip=True)
        notes.add_itxt("XML:com.adobe.xmp", XMP.decode())
        options = {"exif": exif_of_phone(), "pnginfo": notes}
    corners_drawn().save(path, form, **options)
    return None


def segments_of(file: bytes) -> list[int]:
    """Markers of a JPEG up to and with its first scan, read after ITU T.81 B.1."""
    at, markers = 2, []
    while markers[-1:] != [0xDA]:
        assert file[at] == 0xFF
        markers.append(file[at + 1])
        at += 2 + int.from_bytes(file[at + 2 : at + 4], "big")
    return markers


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "TIFF", "AVIF"])
def test_no_position_in_any_derivative(tmp_path: Path, form: str) -> None:
    path = tmp_path / "original"
    talkative(path, form)
    derived = make_derivatives(path, tmp_path)
    assert derived.has_position
    for file in derived.files.values():
        assert_only_pixels(file)


def test_no_position_in_a_derivative_of_a_heic(tmp_path: Path, samples: Path) -> None:
    for file in make_derivatives(samples / "phone.heic", tmp_path).files.values():
        assert_only_pixels(file)


def assert_only_pixels(path: Path) -> None:
    """Nothing but JFIF head, tables, frame and scan (ITU T.81 B.2): no application block, no comment, no thumbnail."""
    file = path.read_bytes()
    jfif, tables, frame, scan = {0xE0}, {0xDB, 0xC4, 0xDD}, {0xC0, 0xC2}, {0xDA}
    assert set(segments_of(file)) <= jfif | tables | frame | scan
    assert file[4:6] == b"\x00\x10"  # the JFIF head is 16 bytes: no room for a thumbnail
    for word in (CANARY, b"Exif", b"xmpmeta", b"8BIM", b"Tarn"):
        assert word not in file
    with Image.open(path) as seen:
        assert set(seen.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression"}
        assert not seen.getexif()


def test_the_talkative_jpeg_is_what_it_claims(tmp_path: Path) -> None:
    """The test above means something only if the original had all of it."""
    talkative_jpeg(tmp_path / "original")
    with Image.open(tmp_path / "original") as seen:
        assert seen.getexif().get_ifd(0x8825)[2] == (53.0, 43.0, 24.5)
        assert CANARY in seen.info["xmp"]
        assert seen.info["comment"] == CANARY
        assert isinstance(seen, JpegImagePlugin.JpegImageFile)
        assert CANARY in seen.info["photoshop"][0x0404]
    assert (tmp_path / "original").read_bytes().count(b"\xff\xd8\xff") == 2


def test_a_picture_is_never_enlarged_and_keeps_its_shape(tmp_path: Path) -> None:
    corners_drawn(3000, 750).save(tmp_path / "original", "PNG")
    derived = make_derivatives(tmp_path / "original", tmp_path)
    assert (derived.width, derived.height) == (3000, 750)
    with Image.open(derived.files["view"]) as view, Image.open(derived.files["thumb"]) as thumb:
        assert view.size == (SIZES["view"], 400)
        assert thumb.size == (SIZES["thumb"], 80)
        assert corners_seen(view) == [RED, GREEN, BLUE, WHITE]


def bgr_profile() -> bytes:
    """sRGB with its red and blue exchanged (ICC.1 7.3: the tag table), so that red pixels mean blue."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    for entry in range(132, 132 + 12 * int.from_bytes(profile[128:132], "big"), 12):
        other = {b"rXYZ": b"bXYZ", b"bXYZ": b"rXYZ"}.get(bytes(profile[entry : entry + 4]))
        if other:
            profile[entry : entry + 4] = other
    return bytes(profile)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_colours_of_a_wide_camera_come_out_in_srgb(tmp_path: Path, form: str) -> None:
    corners_drawn().save(tmp_path / "original", form, icc_profile=bgr_profile(), quality=95)
    with Image.open(make_derivatives(tmp_path / "original", tmp_path).files["view"]) as seen:
        assert corners_seen(seen) == [BLUE, GREEN, RED, WHITE]


def test_a_profile_that_does_not_fit_is_passed_over(tmp_path: Path) -> None:
    corners_drawn().save(tmp_path / "original", "JPEG", icc_profile=b"no profile at all" * 20)
    with Image.open(make_derivatives(tmp_path / "original", tmp_path).files["view"]) as seen:
        assert corners_seen(seen) == [RED, GREEN, BLUE, WHITE]


def brightness(tmp_path: Path, picture: Image.Image, form: str) -> tuple[int, ...]:
    picture.save(tmp_path / "original", form)
    with Image.open(make_derivatives(tmp_path / "original", tmp_path).files["view"]) as seen:
        return seen.getpixel((5, 5))


def test_clear_parts_are_shown_on_white(tmp_path: Path) -> None:
    assert brightness(tmp_path, Image.new("RGBA", (20, 20), (255, 0, 0, 0)), "PNG") == WHITE
    assert brightness(tmp_path, Image.new("LA", (20, 20), (0, 0)), "PNG") == WHITE


@pytest.mark.parametrize("form", ["PNG", "TIFF"])
def test_sixteen_bits_of_grey_become_eight(tmp_path: Path, form: str) -> None:
    half = Image.new("I;16", (20, 20), 32_768)
    assert brightness(tmp_path, half, form) == pytest.approx((127.5,) * 3, abs=1.5)


def test_drawings_in_one_bit_and_in_a_palette_and_prints_in_four_inks_are_read(tmp_path: Path) -> None:
    assert brightness(tmp_path, Image.new("1", (20, 20), 1), "TIFF") == WHITE
    assert corners_seen_of(tmp_path, corners_drawn().convert("P"), "PNG") == [RED, GREEN, BLUE, WHITE]
    assert corners_seen_of(tmp_path, corners_drawn().convert("CMYK"), "JPEG") == [RED, GREEN, BLUE, WHITE]


def corners_seen_of(tmp_path: Path, picture: Image.Image, form: str) -> list[tuple[int, ...]]:
    picture.save(tmp_path / "original", form)
    with Image.open(make_derivatives(tmp_path / "original", tmp_path).files["view"]) as seen:
        return corners_seen(seen)


def test_a_phones_second_picture_is_left_and_the_first_taken(tmp_path: Path) -> None:
    corners_drawn().save(tmp_path / "original", "MPO", save_all=True, append_images=[Image.new("RGB", (60, 90))])
    assert read_header(tmp_path / "original").frames == 2
    with Image.open(make_derivatives(tmp_path / "original", tmp_path).files["view"]) as seen:
        assert corners_seen(seen) == [RED, GREEN, BLUE, WHITE]


@pytest.mark.parametrize("form", ["TIFF", "PNG", "WEBP", "AVIF"])
def test_several_pages_are_refused(tmp_path: Path, form: str) -> None:
    corners_drawn().save(tmp_path / "original", form, save_all=True, append_images=[Image.new("RGB", (60, 90))])
    assert_refused(tmp_path, "more than one page or frame")


def assert_refused(tmp_path: Path, words: str) -> None:
    into = tmp_path / "into"
    into.mkdir()
    with pytest.raises(NotTaken, match=words) as refusal:
        make_derivatives(tmp_path / "original", into)
    assert str(refusal.value).startswith("The picture cannot be kept: ")
    assert list(into.iterdir()) == []


def chunk(kind: bytes, inside: bytes) -> bytes:
    return struct.pack(">I", len(inside)) + kind + inside + struct.pack(">I", zlib.crc32(kind + inside))


def png(width: int, height: int, *more: bytes, before: bytes = b"", rows: int | None = None) -> bytes:
    """A grey PNG of one bit a pixel, all black (W3C PNG, 5 and 11)."""
    packed = zlib.compress(bytes(1 + (width + 7) // 8) * (height if rows is None else rows), 9)
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + before + chunk(b"IDAT", packed) + b"".join(more) + chunk(b"IEND", b"")


def cost_of_child(path: Path, into: Path) -> tuple[float, float, str]:
    """CPU seconds, highest memory in MB, and what the child said."""
    command = child_command(path, into, SIZES)
    child = subprocess.Popen(
        command, cwd=HOUSE, env=CHILD_ENVIRONMENT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    )
    assert child.stdout is not None
    said = child.stdout.read().decode()
    _, child.returncode, used = os.wait4(child.pid, 0)
    child.stdout.close()
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, said


def test_a_bomb_is_refused_before_it_opens(tmp_path: Path) -> None:
    bomb = png(30_000, 30_000)
    assert len(bomb) < 200_000
    (tmp_path / "bomb").write_bytes(bomb)
    (tmp_path / "idle").write_bytes(png(8, 8))
    _, idle_mb, _ = cost_of_child(tmp_path / "idle", tmp_path)
    began = time.monotonic()
    cpu_s, mb, said = cost_of_child(tmp_path / "bomb", tmp_path)
    assert "900 million pixels, and up to 120 million" in said
    assert cpu_s <= 1
    assert time.monotonic() - began <= 5  # the machine may be busy; the child's own second is what counts
    assert mb - idle_mb <= 200


@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
@pytest.mark.parametrize(
    ("width", "height", "words"),
    [(12_000, 12_000, "144 million"), (30_001, 10, "30001 by 10 pixels"), (10, 30_001, "up to 30000")],
)
def test_limits_stand_in_the_head(tmp_path: Path, width: int, height: int, words: str) -> None:
    (tmp_path / "original").write_bytes(png(width, height))
    with pytest.raises(NotTaken, match=words):
        read_header(tmp_path / "original")
    assert_refused(tmp_path, words)


def test_the_head_alone_refuses_what_pillow_itself_calls_a_bomb(tmp_path: Path) -> None:
    (tmp_path / "original").write_bytes(png(30_000, 30_000, rows=1))
    with pytest.raises(NotTaken, match="120 million"):
        read_header(tmp_path / "original")


def test_the_largest_picture_that_is_taken_is_taken(tmp_path: Path) -> None:
    (tmp_path / "original").write_bytes(png(30_000, 4_000))
    derived = make_derivatives(tmp_path / "original", tmp_path)
    assert (derived.width, derived.height) == (30_000, 4_000)


def test_a_webp_is_measured_before_its_canvas_is_laid_out(tmp_path: Path) -> None:
    """RFC 9649 2.7: VP8X holds width and height less one in three bytes each."""
    side = (16_382).to_bytes(3, "little")
    inside = b"WEBPVP8X" + struct.pack("<I", 10) + bytes(4) + side + side
    (tmp_path / "original").write_bytes(b"RIFF" + struct.pack("<I", len(inside)) + inside)
    assert_refused(tmp_path, "268 million pixels")


def test_what_takes_too_much_memory_ends_the_child_only(tmp_path: Path) -> None:
    Image.new("RGB", (10_950, 10_950)).save(tmp_path / "original", "WEBP", lossless=True, method=0)
    assert_refused(tmp_path, "more memory than there is")


def test_the_child_has_its_seconds_and_no_more() -> None:
    endless = "from catalog.media import pictures as p; p.CHILD_CPU_S = 1; p._limit_this_process()\nwhile True: pass"
    done = subprocess.run([sys.executable, "-c", endless], cwd=HOUSE, env=CHILD_ENVIRONMENT, check=False, timeout=60)
    assert done.returncode == -signal.SIGXCPU


ZEROS = bytes(2_000_000)


@pytest.mark.parametrize(
    "text",
    [chunk(b"zTXt", b"Comment\0\0" + zlib.compress(ZEROS)), chunk(b"tEXt", b"Comment\0" + b"x" * 1_100_000)],
    ids=["packed", "plain"],
)
def test_more_than_a_megabyte_of_text_is_refused(tmp_path: Path, text: bytes) -> None:
    (tmp_path / "original").write_bytes(png(8, 8, before=text))
    assert_refused(tmp_path, "more than 1 MB of text")
    (tmp_path / "original").write_bytes(png(8, 8, text))  # behind the pixels
    with pytest.raises(NotTaken, match="more than 1 MB of text"):
        make_derivatives(tmp_path / "original", tmp_path)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "TIFF", "AVIF"])
def test_half_a_picture_is_refused(tmp_path: Path, form: str) -> None:
    noise = Image.effect_noise((300, 300), 90).convert("RGB")
    noise.save(tmp_path / "whole", form)
    whole = (tmp_path / "whole").read_bytes()
    (tmp_path / "original").write_bytes(whole[: len(whole) // 2])
    assert_refused(tmp_path, "broken or cut off")


def test_half_a_heic_is_refused(tmp_path: Path, samples: Path) -> None:
    whole = (samples / "phone.heic").read_bytes()
    (tmp_path / "original").write_bytes(whole[:500])
    assert_refused(tmp_path, "broken or cut off")


def test_a_torn_exif_block_does_not_lose_the_photograph(tmp_path: Path) -> None:
    torn = b"Exif\0\0II*\0\x08\0\0\0\xff\xff" + b"\xff" * 40
    corners_drawn().save(tmp_path / "original", "JPEG", exif=torn)
    derived = make_derivatives(tmp_path / "original", tmp_path)
    assert (derived.width, derived.height) == (60, 90)
    assert derived.has_position  # what cannot be read is not said to be clean


def test_a_script_behind_a_photograph_does_not_reach_the_derivative(tmp_path: Path) -> None:
    corners_drawn().save(tmp_path / "original", "JPEG")
    with (tmp_path / "original").open("ab") as file:
        file.write(b"<script>alert(1)</script>")
    for derivative in make_derivatives(tmp_path / "original", tmp_path).files.values():
        assert b"script" not in derivative.read_bytes()
        assert derivative.read_bytes().endswith(b"\xff\xd9")


@pytest.mark.parametrize(
    "file",
    [b'<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>', b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n"],
    ids=["SVG", "EPS"],
)
def test_no_reader_is_opened_for_other_formats(tmp_path: Path, file: bytes) -> None:
    (tmp_path / "original").write_bytes(file)
    assert_refused(tmp_path, "broken or cut off")


def test_a_file_that_is_not_there_is_our_fault_and_not_the_pictures(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError, match="No such file"):
        make_derivatives(tmp_path / "nothing", tmp_path)


def test_a_full_disk_is_told_and_leaves_no_derivative(tmp_path: Path, small_disk: Path) -> None:
    Image.effect_noise((1600, 1600), 90).convert("RGB").save(tmp_path / "original", "PNG")
    (small_disk / "filler").write_bytes(bytes(1_900_000))
    with pytest.raises(OSError, match="No space left"):
        make_derivatives(tmp_path / "original", small_disk)
    assert [path.name for path in small_disk.iterdir()] == ["filler"]
