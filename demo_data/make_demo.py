"""Make the demonstration data: an invented fen and its meadows, recorded by invented people.

Run `python demo_data/make_demo.py`. The data are made from a
fixed seed; the same script gives the same records. Nothing in them is real: no such fen, meadow or
recorder exists, and the grid references were drawn by lot.
"""

from __future__ import annotations

import csv
import random
from datetime import date, timedelta
from pathlib import Path

HERE = Path(__file__).parent
PHOTOS = HERE / "photos"

SITES = [
    ("Quillmere Fen", "TL 61{} 82{}"),
    ("Quillmere Fen, Sedge Ride", "TL 61{} 83{}"),
    ("Dunnock Meadow", "TL 58{} 79{}"),
    ("Withybrook Pits", "TL 55{} 84{}"),
    ("Larkspur Bank", "TL 57{} 86{}"),
    ("Heron's Piece", "TL 62{} 81{}"),
]
RECORDERS = ["Wren Aldershaw", "Idris Quell", "Mab Thornley", "Jory Pennick", "Sunniva Crake"]

SPOTTED = ["spotted", "solid spots", "Spots", "heavily spotted", "dark spots"]
RINGED = ["ringed", "ring spots", "rings"]
PLAIN = ["unmarked", "plain", "no spots", "unspotted"]
HOLLOW = ["hollow", "Hollow", "gives when squeezed"]
SOLID = ["solid", "firm, no give"]
PARTLY = ["partly hollow", "slightly hollow"]
GRANDIS = [
    "Dactylorhiza × grandis",
    "Dactylorhiza x grandis",
    "D. fuchsii x praetermissa",
    "CSO x SMO",
    "D. praetermissa X D. fuchsii",
    "common spotted x southern marsh",
]
MARSH = ["Dactylorhiza praetermissa", "D. praetermissa", "Southern Marsh-orchid", "SMO"]
FUCHSII = ["Dactylorhiza fuchsii", "D. fuchsii", "Common Spotted-orchid", "CSO", "D. fuschii"]

FEN_HEADINGS = [
    "Species",
    "Grid Ref.",
    "Date",
    "Site",
    "Recorder",
    "Leaves",
    "Stem",
    "Photo",
    "Comments",
    "Habitat",
    "No. of plants",
    "Warden's tick",
]

# One row for each thing the demonstration should show, by hand.
# species, leaves, stem, photo, comments, habitat; a date and grid reference of None are drawn.
FEN_BY_HAND = [
    (
        "Dactylorhiza × grandis",
        "spotted",
        "hollow",
        "qf_0101_leaf.jpg; qf_0101_stem.jpg",
        "",
        "fen",
    ),
    (
        "Dactylorhiza × grandis",
        "",
        "",
        "",
        "Leaves spotted, stem hollow when squeezed. Photo taken.",
        "fen",
    ),
    ("Dactylorhiza × grandis", "ring spots", "hollow", "qf_0102_leaf.jpg", "", "fen"),
    ("Dactylorhiza × grandis", "ring spots", "slightly hollow", "qf_0103_leaf.jpg", "", "fen"),
    ("Dactylorhiza × grandis", "plain", "hollow", "qf_0104_leaf.jpg", "", "fen"),
    ("Dactylorhiza × grandis", "plain", "solid", "", "no photo, camera flat", "fen"),
    ("Dactylorhiza × grandis", "", "", "", "named on flowers alone", "fen"),
    ("Dactylorhiza × grandis", "spotted", "hollow", "", "leaves plain on second look", "fen"),
    ("Dactylorhiza × grandis", "faint spots", "hollow", "yes", "", "fen"),
    (
        "Dactylorhiza × grandis",
        "spotted",
        "hollow",
        "qf_0105.jpg",
        "lip sides strongly reflexed",
        "fen",
    ),
    ("Dactylorhiza × grandis", "spotted", "hollow", "qf_0106.jpg", "only one parent seen", "fen"),
    ("Dactylorhiza × grandis", "spotted", "hollow", "qf_0107.jpg", "", "wet heath on acid peat"),
    ("cf. Dactylorhiza × grandis", "spotted", "hollow", "qf_0108.jpg", "probably this", "fen"),
    ("Dactylorhiza hybrid", "spotted", "hollow", "yes", "", "fen"),
    ("D. fuchsii x incarnata x praetermissa", "spotted", "hollow", "yes", "", "fen"),
    ("× Dactylodenia st-quintinii", "", "solid", "yes", "with fragrant-orchids", "chalk bank"),
    ("Dactylorhiza × transiens", "spotted", "solid", "yes", "", "leached bank"),
    ("Dactylorhiza × wintonii", "plain", "hollow", "yes", "", "fen"),
    ("Dactylorhiza × insignis", "plain", "hollow", "", "", "fen"),
    ("Dactylorhiza × venusta", "ring spots", "hollow", "yes", "", "quarry"),
    ("Dactylorhiza × kernerorum", "spotted", "hollow", "yes", "", "fen"),
    ("D. kerryensis x praetermissa", "spotted", "hollow", "yes", "", "fen"),
    ("Dactylorhiza praetermissa", "spotted", "hollow", "", "", "fen"),
    (
        "Dactylorhiza praetermissa",
        "ring spots",
        "hollow",
        "yes",
        "leopard form, as every year",
        "fen",
    ),
    ("Dactylorhiza fuchsii", "barred", "hollow", "yes", "", "meadow"),
    ("Dactylorhiza fuchsii", "unspotted", "solid", "", "white flowered", "meadow"),
    ("Dactylorhiza incarnata", "plain", "hollow", "", "", "fen"),
    ("Dactylorhiza maculata agg.", "spotted", "solid", "", "", "meadow"),
    ("Dactylorhiza", "", "", "", "past flowering", "fen"),
    ("Orchis latifolia", "spotted", "hollow", "", "from an old list", "fen"),
    ("Dactylorhiza grandus", "spotted", "hollow", "yes", "", "fen"),
    ("Carex × boenninghausiana", "", "", "", "by the dyke", "dyke"),
    ("Lythrum salicaria", "", "", "", "", "dyke"),
    (
        "Geum × intermedium",
        "",
        "",
        "yes",
        "flowers nodding, petals orange-yellow, sepals purple-tinged",
        "alder carr",
    ),
    ("orchid", "spotted", "", "", "too far off to name", "fen"),
    ("", "spotted", "hollow", "", "label washed off", "fen"),
]


def main() -> None:
    """Write every file of the demonstration beside this script."""
    PHOTOS.mkdir(exist_ok=True)
    write_fen_records()
    write_meadow_survey()
    write_old_cards()
    write_photos()


def write_fen_records() -> None:
    """`fen_records.csv`: a spreadsheet saved from a Windows program, as messy as they come."""
    draw = random.Random(20260611)
    rows = [_fen_row(draw, *by_hand) for by_hand in FEN_BY_HAND]
    rows += [_drawn_row(draw) for _ in range(84)]
    # What only shows in the cells themselves.
    rows[3][2] = "sometime last summer"  # no readable date …
    rows[4][1], rows[4][3] = "TL 612", ""  # … no readable place …
    rows[26][1] = "TL 6123 82"  # … a bad reference beside a good site name
    rows[27][1] = ""  # a site name alone
    rows[28][2] = "3/1/24"  # out of season, two-digit year
    rows[0][2] = "1/2/2024"
    rows[5][8] = "no photo, camera flat. Ring 01632 960000 for details"
    draw.shuffle(rows)
    rows.insert(40, ["Dactylorhiza x grandis", "TL 615 822", "14/06/2024", "Quillmere Fen"])
    rows.insert(41, [*rows[7]])  # the same row sent twice
    with (HERE / "fen_records.csv").open("w", encoding="cp1252", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(FEN_HEADINGS)
        writer.writerows([[_worn(draw, cell) for cell in row] for row in rows])


def _worn(draw: random.Random, cell: str) -> str:
    """Now and then a multiplication sign that went through the wrong encoding."""
    return cell.replace("×", "Ã—") if draw.random() < 0.06 else cell


def _fen_row(
    draw: random.Random,
    species: str,
    leaves: str,
    stem: str,
    photo: str,
    comments: str,
    habitat: str,
) -> list[str]:
    site, grid = draw.choice(SITES)
    return [
        species,
        _square(draw, grid),
        _date(draw),
        site,
        draw.choice(RECORDERS),
        leaves,
        stem,
        photo,
        comments,
        habitat,
        str(draw.choice((1, 1, 2, 3, 5, 12))),
        draw.choice(("", "✓", "")).replace("✓", "y"),
    ]


def _drawn_row(draw: random.Random) -> list[str]:
    """A row of the ordinary kind: three species and their commonest cross."""
    kind = draw.choices(("grandis", "marsh", "spotted", "early"), (5, 4, 4, 1))[0]
    photo = draw.choice(("", "", "yes", f"qf_{draw.randint(200, 999):04d}.jpg"))
    if kind == "grandis":
        leaves, stem = draw.choice(
            [
                (draw.choice(SPOTTED), draw.choice(HOLLOW)),
                (draw.choice(SPOTTED), ""),
                ("", ""),
                (draw.choice(RINGED), draw.choice(PARTLY)),
                (draw.choice(PLAIN), draw.choice(HOLLOW)),
                (draw.choice(SPOTTED), draw.choice(SOLID)),
                ("not looked at", "not tested"),
            ]
        )
        return _fen_row(draw, draw.choice(GRANDIS), leaves, stem, photo, "", "fen")
    if kind == "marsh":
        stem = draw.choice(("", draw.choice(HOLLOW)))
        return _fen_row(draw, draw.choice(MARSH), draw.choice(PLAIN), stem, photo, "", "fen")
    if kind == "spotted":
        stem = draw.choice(("", draw.choice(SOLID)))
        return _fen_row(draw, draw.choice(FUCHSII), draw.choice(SPOTTED), stem, photo, "", "meadow")
    return _fen_row(draw, "Early Marsh-orchid", draw.choice(PLAIN), "hollow", photo, "", "fen")


def _square(draw: random.Random, grid: str) -> str:
    reference = grid.format(draw.randint(0, 9), draw.randint(0, 9))
    return draw.choice((reference, reference, reference.replace(" ", ""), reference.lower()))


def _date(draw: random.Random) -> str:
    day = date(draw.choice((2022, 2023, 2024, 2025)), 6, 3) + timedelta(days=draw.randint(0, 34))
    forms = ("%d/%m/%Y", "%d/%m/%Y", "%d %B %Y", "%d.%m.%Y", "%Y-%m-%d", "%d/%m/%y")
    return day.strftime(draw.choice(forms))


MEADOW_REMARKS = [
    "Lvs spotted, stem hollow, pics taken",
    "Leaves with transverse bars, stem solid. 2 photos",
    "lvs unsp., stem hollow",
    "leaves ring-marked, stem partly hollow, photo DSC_0431",
    "leaves not checked, sward too tall",
    "didn't squeeze the stem - only plant on the bank",
    "fls intermediate, named from the flower",
    "with both parents. Leaves spotted, stem gives when squeezed, photo on file",
    "stem solid, leaves blotched; no photo",
    "bracts purple-spotted but the leaves below quite plain, stem hollow",
    "5 with spotted leaves, 6 without; stems hollow; photos of three",
    "",
]


def write_meadow_survey() -> None:
    """`meadow_survey.xlsx`: title lines, two years on two sheets, and a sheet of notes."""
    import xlsxwriter

    draw = random.Random(20260612)
    path = HERE / "meadow_survey.xlsx"
    with xlsxwriter.Workbook(path, {"strings_to_formulas": False}) as book:
        book.set_properties({"created": date(2025, 9, 1), "title": "Meadow survey"})
        day = book.add_format({"num_format": "dd/mm/yyyy"})
        for year, count in ((2024, 36), (2025, 34)):
            sheet = book.add_worksheet(str(year))
            sheet.write(0, 0, f"Larkspur Bank and Dunnock Meadow, orchid walk {year}")
            sheet.write(1, 0, "All records by the meadow group unless said otherwise")
            headings = [
                "Taxon",
                "Date",
                "OSGR",
                "Location",
                "Recorder",
                "Leaf width (mm)",
                "Notes",
                "Det.",
            ]
            sheet.write_row(3, 0, headings)
            for number in range(count):
                _meadow_row(draw, sheet, 4 + number, year, day)
        notes = book.add_worksheet("Notes")
        notes.write(0, 0, "Gate code from the warden; park on the verge, not in the gateway.")
        notes.write(1, 0, "Count spikes, touch nothing that stands alone.")


def _meadow_row(draw: random.Random, sheet: object, row: int, year: int, day: object) -> None:
    names = [*GRANDIS, *GRANDIS, *MARSH, *FUCHSII, "Primula × polyantha", "Filipendula ulmaria"]
    site, grid = draw.choice(SITES[2:5])
    reference = grid.format(draw.randint(0, 9), draw.randint(0, 9))
    when = date(year, 6, 5) + timedelta(days=draw.randint(0, 28))
    width = draw.choice((None, None, round(draw.uniform(14, 34), 1)))
    write = sheet.write  # type: ignore[attr-defined]
    write(row, 0, draw.choice(names))
    sheet.write_datetime(row, 1, when, day)  # type: ignore[attr-defined]
    write(row, 2, reference)
    write(row, 3, site)
    write(row, 4, draw.choice(RECORDERS))
    if width is not None:
        write(row, 5, width)
    write(row, 6, draw.choice(MEADOW_REMARKS))
    write(row, 7, draw.choice(("", "", "Sunniva Crake", "Mab Thornley (orchid referee)")))


CARDS = [
    (
        "Orchis praetermissa",
        "12.vi.1967",
        "TL68",
        "Quillmere Fen",
        "Foliis immaculatis, caule fistuloso.",
    ),
    (
        "Orchis fuchsii x praetermissa",
        "19.vi.1966",
        "TL68",
        "Quillmere Fen",
        "Foliis maculatis, caule fistuloso. Slide 114.",
    ),
    (
        "Dactylorchis fuchsii x praetermissa",
        "June 1958",
        "TL68",
        "Quillmere Fen",
        "hybrid with both parents present",
    ),
    ("Dactylorchis praetermissa", "2.vii.1958", "TL5884", "Withybrook Pits", "lvs. unspotted"),
    (
        "D. fuchsii × D. praetermissa",
        "1974",
        "TL58",
        "near Withybrook",
        "named on the flowers, rest grazed off",
    ),
    (
        "Dactylorhiza x grandis [det. A. Fenwright 1983]",
        "18 June 1983",
        "TL5785",
        "Larkspur Bank",
        "lvs spotted; stem hollow; b/w print in file",
    ),
    ("Dactylorhiza fuchsii", "21/6/83", "TL5785", "Larkspur Bank", "lvs barred, st. solid"),
    (
        "spotted x marsh orchid",
        "Summer 1979",
        "",
        "Heron's Piece",
        "leaf markings - rings. stem - slightly hollow. 3 slides",
    ),
    ("Dactylorhiza × grandis", "6/1991", "TL62", "Heron's Piece", "stem sollid, levaes spotted"),
    (
        "Dactylorhiza praetermissa var. junialis",
        "June 1991",
        "TL6281",
        "Heron's Piece",
        "ringed leaves, hollow stem",
    ),
    (
        "Dactylorhiza incarnata x praetermissa",
        "9.vi.1995",
        "TL6182",
        "Quillmere Fen",
        "lvs plain, stem hollow. Photo.",
    ),
    ("Orchis maculata", "1931", "TL58", "Withybrook", ""),
]


def write_old_cards() -> None:
    """`old_cards.csv`: a card index typed up, tab-separated, evidence in words."""
    draw = random.Random(20260613)
    rows = [[f"QC-{n + 1:04d}", *card] for n, card in enumerate(CARDS)]
    for number in range(len(CARDS), 44):
        name, when, grid, place, words = draw.choice(CARDS)
        rows.append(
            [f"QC-{number + 1:04d}", name, when, grid, place, draw.choice((words, words, ""))]
        )
    rows[20][0] = rows[19][0]  # one card number used twice
    with (HERE / "old_cards.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter="\t")
        writer.writerow(["occurrenceID", "Plant", "Date", "Grid square", "Place", "Remarks"])
        writer.writerows(rows)


def write_photos() -> None:
    """Small drawn pictures of leaves and stems, with the date and position a camera would write."""
    from PIL import Image, ImageDraw

    draw = random.Random(20260614)
    for number, parts in (
        (101, ("leaf", "stem")),
        (102, ("leaf",)),
        (103, ("leaf",)),
        (104, ("leaf",)),
    ):
        for part in parts:
            picture = Image.new("RGB", (320, 240), (214, 223, 196))
            pen = ImageDraw.Draw(picture)
            pen.polygon([(20, 120), (160, 60), (300, 120), (160, 180)], fill=(86, 125, 70))
            for _ in range(24 if number != 104 and part == "leaf" else 0):
                x, y = draw.randint(80, 240), draw.randint(95, 145)
                fill = None if number in (102, 103) else (70, 30, 60)
                pen.ellipse([x, y, x + 12, y + 10], fill=fill, outline=(70, 30, 60), width=2)
            exif = Image.Exif()
            exif[0x0132] = f"2024:06:{10 + number % 10:02d} 11:20:00"
            exif.get_ifd(0x8769)[0x9003] = exif[0x0132]
            name = PHOTOS / f"qf_{number:04d}_{part}.jpg"
            picture.save(name, quality=70, exif=exif)


if __name__ == "__main__":
    main()
