"""The case, the decision, the title, the press that gives the number."""

from __future__ import annotations

from typing import Any

from catalog.ground import fields as f
from registry.accessions.forms.coming_in import FROM, chosen_person, whom
from registry.accessions.models import Acquisition
from registry.accessions.said import AccessionSaid, CaseSaid, DecisionSaid, TitleSaid
from registry.accessions.states import TITLE_STATES, WAYS

_TITLES = [(key, words.capitalize()) for key, words in TITLE_STATES]


class ProposalForm(f.Form):
    """Why it belongs here, and how it is to become ours."""

    way = f.PicksField(
        "How is it to become ours?", choices=[(k, w.capitalize()) for k, w in WAYS], wanted="Choose a way."
    )
    case = f.Words(
        "Why does it belong here?", required=False, hint="What it adds, its condition, what keeping it costs."
    )
    conditions = f.Words("What does the giver ask for?", required=False, rows=2, hint="Prefer none.")
    search_record = f.Words(
        "Found in the collection: what was searched?",
        required=False,
        rows=3,
        hint="Registers, former numbers, loan files, photographs, people: each with its day and what came of it.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields[FROM] = f.ChooserField("From whom?", kind="person", required=False)
        self.order_fields(["way", FROM])

    def said(self) -> CaseSaid:
        typed = self.cleaned_data
        person, words = whom(typed[FROM])
        names = ("way", "case", "conditions", "search_record")
        return CaseSaid(**{n: typed[n] for n in names}, from_person=person, from_words=words)

    @staticmethod
    def begin(case: Acquisition | None, *, how: str = "", person: Any = None, words: str = "") -> dict[str, Any]:
        if case:
            names = ("way", "case", "conditions", "search_record", "version")
            return {n: getattr(case, n) for n in names} | {FROM: chosen_person(case.from_person, case.from_words)}
        known = how if how in ("own excavation", "found in the collection") else ""
        return {"way": known, FROM: chosen_person(person, words)}


class DecisionForm(f.Form):
    """Accepted or refused: nothing is chosen beforehand."""

    decision = f.PicksField(
        "What is decided?", choices=[("accepted", "Keep it"), ("refused", "Refuse it")], wanted="Choose one of the two."
    )
    on = f.ExactDayField("When, if not today?", required=False, past_only=True)
    minute = f.TextLine("In which minute or letter does it stand?", required=False, most=300)
    ground = f.Words("Why, where it is refused", required=False, rows=3)
    witness = f.TextLine("Before which witness?", required=False, hint="Somebody from outside. It can be named later.")

    def __init__(self, *args: Any, alone: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not alone:
            del self.fields["witness"]

    def said(self) -> DecisionSaid:
        typed = self.cleaned_data
        names = ("decision", "on", "minute", "ground")
        return DecisionSaid(**{n: typed[n] for n in names}, witness=typed.get("witness", ""))


class WitnessForm(f.Form):
    witness = f.TextLine("Who was the witness?", hint="Somebody from outside the house.", wanted="Write a name.")


class TitleForm(f.Form):
    """What holds from now on, and the paper that shows it."""

    state = f.PicksField("What is the state of title?", choices=_TITLES, wanted="Choose one. Unknown counts.")
    ground = f.Words("What shows it?", required=False, rows=3, hint="The new evidence, or who said so.")
    paper = f.PaperField("The paper", required=False)
    passed_on = f.UncertainDayField("When did title pass?", required=False)
    minute = f.TextLine("In which minute or letter?", required=False, most=300)
    on = f.ExactDayField("Since when is that known, if not today?", required=False, past_only=True)

    def said(self) -> TitleSaid:
        typed, paper = self.cleaned_data, self.cleaned_data["paper"]
        names = ("state", "ground", "passed_on", "minute", "on")
        return TitleSaid(
            **{n: typed[n] for n in names},
            paper_words=paper.words if paper else "",
            upload=paper.file if paper else None,
        )


class AccessionForm(f.Form):
    """The sentence of the register with its gaps; and, behind a summary, a decision that was taken elsewhere."""

    description = f.TextLine("This is", most=500, wanted="Write in a line what it is.")
    parts = f.CountField("in how many parts", required=False, least=1, unit="parts")
    title = f.PicksField("What is the state of title?", choices=_TITLES, wanted="The state of title. Unknown counts.")
    title_paper = f.TextLine(
        "By which paper?", required=False, most=300, hint="Letter, receipt, will, clause of a permit; where it lies."
    )
    on = f.ExactDayField("taken in on, if not today", required=False, past_only=True)
    way = f.PicksField("How did it become ours?", choices=[(k, w.capitalize()) for k, w in WAYS], required=False)
    decided = f.TextLine("Who decided to keep it?", required=False)
    decided_on = f.ExactDayField("On which day?", required=False, past_only=True)
    minute = f.TextLine("In which minute or letter does it stand?", required=False, most=300)
    clock_is_right = f.PicksField(
        "The clock", choices=[("yes", "The clock is right: write it all the same")], required=False
    )

    def __init__(self, *args: Any, title: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["description"].widget.attrs["size"] = 38
        if title:  # it is stated already, and is changed by an act of its own
            del self.fields["title"], self.fields["title_paper"]

    def said(self) -> AccessionSaid:
        typed = self.cleaned_data
        decided = None
        if typed["decided"] or typed["minute"]:
            decided = DecisionSaid(by=typed["decided"], on=typed["decided_on"], minute=typed["minute"])
        return AccessionSaid(
            title=typed.get("title", ""),
            title_paper=typed.get("title_paper", ""),
            description=typed["description"],
            n_parts=typed["parts"],
            case=CaseSaid(typed["way"]) if typed["way"] else None,
            decided=decided,
            on=typed["on"],
            clock_is_right=typed["clock_is_right"] == "yes",
        )
