"""Labels of every kind, as the station would print them."""

from typing import Any

from catalog.ground.papers import Paper
from registry.accessions.labels import KINDS, Kind, Label, Sheet, label_facts, roll_for, ruler_facts, sheet_for

BASE = "https://tarnholm.example"
COLLECTION = {"name": "Tarn Holm dune and marsh station", "short": "Tarn Holm station", "code": "TH"}
BURROW = b"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 14"><path d="M0 1h60" stroke="#000" stroke-width=".6"/>
<path d="M4 1v9M12 1v7M20 1v11M28 1v8M36 1v10M44 1v6M52 1v9" stroke="#000" stroke-width="1.4"/></svg>"""


def piece_labels(numbers: list[str]) -> list[Label]:
    return [Label(number, lines=("mud shrimp, shaft, 4-8 cm", "lift 1, up: painted dot")) for number in numbers]


def samples() -> dict[str, list[Label]]:
    return {
        "piece": piece_labels([f"2026.14.{n}" for n in range(1, 40)] + ["2026.14.176.2", "2016.1.4.12.3", "2016.1"]),
        "small-piece": [Label(f"2026.14.{n}") for n in (3, 17, 176)] + [Label("2026.14.176.2"), Label("2016.1")],
        "object": [
            Label("2016.1", title="Mud shrimp", latin="Upogebia deltaura", lines=("plaster, seven pieces",)),
            Label(
                "2026.14",
                title='#strong[x] $a$ @b "quoted" Щукин',
                latin="Colletes cunicularius",
                lines=("plaster", "دار الحمادة الحمراء"),
            ),
            Label(
                "E-2018-5b", title="Desert ant", latin="Cataglyphis", lines=("zinc", "of the House of the Red Hamada")
            ),
        ],
        "tray": [
            Label("T-9", lines=("2026.14.125 to .176", "56 pieces, lifts 7 to 9", "Lift the tray, not the piece."))
        ],
        "bag": [
            Label("2025.6", lines=("North Creek, lift 3", "20-30 cm", "not washed")),
            Label("NC-25-3.L2", lines=("lift 2",)),
        ],
        "shelf": [Label("B-3", lines=("Store, bay B, shelf 3", "up to 120 kg", "dry: plaster, wax"))],
        "crate": [
            Label(
                "K-12",
                up=True,
                lines=("Store, bay B, shelf 3", "18.4 kg, two people", "Plaster: keep dry, no point load", "Home: B-3"),
            )
        ],
        "showcase": [
            Label(
                "2011.3",
                title="Under the dune",
                latin="Colletes cunicularius",
                lines=(
                    "27 doors of one town of dune bees, filled with plaster in 2011",
                    "and dug out in 212 pieces. The deepest goes down 62 cm.",
                    "Plaster, the dune coast, 9 May 2011",
                ),
                drawing="burrow.svg",
                drawing_says="The shafts side by side, drawn from the cast.",
            )
        ],
    }


def label_paper(
    kind: Kind, labels: list[Label], sheet: Sheet | None = None, first_free: int = 1, base: str = BASE
) -> Paper:
    facts, pictures = label_facts(
        kind, sheet or sheet_for(kind), labels, base_address=base, first_free=first_free, collection=COLLECTION
    )
    return Paper(
        "registry/accessions/papers/labels.typ", facts, f"Labels: {kind.name}", pictures | {"burrow.svg": BURROW}
    )


def ruler_page(kind: Kind, sheet: Sheet) -> Paper:
    facts: dict[str, Any] = ruler_facts(kind, sheet, collection=COLLECTION)
    return Paper("registry/accessions/papers/labels.typ", facts, f"Test page: {kind.name}")


def every_label_paper() -> dict[str, Paper]:
    papers = {f"labels_{key}": label_paper(KINDS[key], labels) for key, labels in samples().items()}
    papers["labels_roll"] = label_paper(
        KINDS["piece"], piece_labels(["2016.1.3", "2026.14.176.2"]), roll_for(KINDS["piece"])
    )
    papers["labels_test_page"] = ruler_page(KINDS["piece"], sheet_for(KINDS["piece"]))
    return papers
