"""What people write into a form, and what the form makes of it. No database: today is the sketches' Thursday, 11 June 2026."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from typing import Any, ClassVar

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.template.loader import render_to_string
from django.utils.datastructures import MultiValueDict

from catalog.ground.fields import (
    AmountField,
    ChooserField,
    Chosen,
    CountField,
    ExactDayField,
    Form,
    ManyPicksField,
    PaperField,
    PhotographsField,
    PicksField,
    PlaceField,
    SaidPaper,
    Section,
    TextLine,
    UncertainDayField,
)


def thursday() -> date:
    return date(2026, 6, 11)


class DoorForm(Form):
    what = "entry"
    sections: ClassVar[list[Section]] = [
        Section("What came?", ["what_it_is", "how", "mass_g"]),
        Section("More", ["made", "from_whom"], folded=True),
    ]

    what_it_is = TextLine("What is it, in a line?", hint="As you would say it.", most=40)
    how = PicksField("How did it come?", choices=[("excavated", "We dug it"), ("found", "Found here")], unknown=True)
    mass_g = AmountField("What does it weigh?", unit="g", what="mass", required=False)
    made = UncertainDayField("When was it cast?", required=False, today=thursday)
    from_whom = ChooserField("From whom?", kind="person", as_new="Write … as a new person", required=False)
    photographs = PhotographsField("Photographs", required=False)


FILLED = {"what_it_is": "a box", "how": "found", "key": "a" * 32}


def shown(form: Form) -> str:
    return render_to_string("look/parts/fields.html", {"form": form})


def sentence(field: Any, said: Any) -> str:
    with pytest.raises(ValidationError) as refused:
        field.clean(said)
    return " ".join(refused.value.messages)


def test_a_mass_in_kilograms_is_understood_and_said_back_in_grams() -> None:
    form = DoorForm(FILLED | {"mass_g": "1,5 kg"})
    assert form.is_valid()
    assert form.cleaned_data["mass_g"].value == Decimal(1500)
    assert form["mass_g"].read_back == "= 1500\u202fg"


def test_a_mass_below_zero_says_so() -> None:
    assert sentence(AmountField(unit="g", what="mass"), "-3") == "A mass cannot be below zero."


def test_an_amount_that_was_kept_is_shown_without_the_noughts_of_its_column() -> None:
    assert AmountField(unit="g", what="mass").prepare_value(Decimal("86.4000")) == "86.4"


def test_an_uncertain_date_in_words_becomes_edtf_and_comes_back_in_words() -> None:
    form = DoorForm(FILLED | {"made": "summer 2011"})
    assert form.is_valid()
    assert form.cleaned_data["made"] == "2011-22"
    assert form["made"].read_back.replace("\u00a0", " ") == "= summer 2011: 1 June 2011 to 31 August 2011"


@pytest.mark.parametrize(
    "kept, words",
    [("1987~", "about 1987"), ("2011-04", "April 2011"), ("../1990", "before 1990"), ("2004-XX", "2004-XX"), ("", "")],
)
def test_a_kept_date_is_shown_in_words_that_lead_back_to_it(kept: str, words: str) -> None:
    field = UncertainDayField(today=thursday, required=False)
    assert field.prepare_value(kept) == words
    assert field.clean(words) == kept


def test_what_happened_cannot_have_happened_tomorrow() -> None:
    assert UncertainDayField(today=thursday, past_only=False).clean("12 June 2026") == "2026-06-12"
    assert "12 June 2026" in sentence(UncertainDayField(today=thursday), "12 June 2026")


def test_an_exact_day_takes_the_calendar_and_the_words() -> None:
    field = ExactDayField(today=thursday)
    assert field.clean("2026-06-20") == field.clean("20 June 2026") == date(2026, 6, 20)


def test_an_exact_day_is_not_a_month_and_not_over() -> None:
    assert sentence(ExactDayField(today=thursday), "June 2026").startswith(
        "Here the exact day is wanted, not June 2026."
    )
    over = sentence(ExactDayField(today=thursday, from_today=True), "2026-06-07")
    assert over.replace("\u00a0", " ") == "7 June 2026 is over. Write today or a later day."


def test_a_count_is_a_whole_number_within_its_bounds() -> None:
    assert CountField().clean("1 500") == 1500
    assert CountField(required=False).clean("") is None
    assert CountField().clean("0") == 0
    assert sentence(CountField(), "a few") == "'a few' is not a whole number. Write it in figures, such as 3."
    assert sentence(CountField(least=1, most=7), "8") == "Write a number from 1 to 7."
    assert sentence(CountField(), "-1").startswith("'-1' is not a whole number.")


def test_nothing_is_chosen_beforehand_and_unknown_is_an_answer() -> None:
    markup = shown(DoorForm())
    assert "checked" not in markup
    assert 'value="unknown"' in markup
    assert DoorForm(FILLED | {"how": "unknown"}).is_valid()
    assert sentence(PicksField(choices=[("a", "A")]), "b") == "Choose one of these."


def test_many_picks_keep_their_order() -> None:
    field = ManyPicksField(choices=[("dust", "Dust"), ("mould", "Mould")])
    assert field.clean(["mould", "dust"]) == ["mould", "dust"]
    assert sentence(field, ["smoke"]) == sentence(field, []) == "Choose at least one of these."


def chosen(**said: str) -> Any:
    form = DoorForm(FILLED | said)
    assert form.is_valid()
    return form.cleaned_data["from_whom"]


def test_a_chosen_person_counts_only_while_the_words_stand() -> None:
    """Without script the hidden value of an earlier choice comes along; other words must not become that person."""
    assert chosen(from_whom="Imke", from_whom_value="p-1", from_whom_was="Imke") == Chosen("Imke", "p-1")
    assert chosen(from_whom="Saar", from_whom_value="p-1", from_whom_was="Imke") == Chosen("Saar", "")
    assert chosen(from_whom="Saar") == Chosen("Saar")
    assert chosen(from_whom="") is None


def test_what_was_chosen_before_is_shown_with_its_value() -> None:
    markup = shown(DoorForm(initial={"from_whom": Chosen("Imke Roodenburg", "p-1")}))
    assert 'value="Imke Roodenburg"' in markup
    assert 'name="from_whom_value" value="p-1"' in markup


def test_a_place_is_asked_for_in_its_own_words() -> None:
    assert sentence(PlaceField(), Chosen("")) == "Write the place or its code, or scan it."


def photograph(name: str = "IMG_1.HEIC", size: int = 3) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, b"x" * size)


def test_several_photographs_come_in_one_field() -> None:
    form = DoorForm(FILLED, MultiValueDict({"photographs": [photograph("a.jpg"), photograph("b.HEIC")]}))
    assert form.is_valid()
    assert [file.name for file in form.cleaned_data["photographs"]] == ["a.jpg", "b.HEIC"]


def test_a_file_that_is_no_picture_is_named() -> None:
    assert (
        sentence(PhotographsField(), [photograph("list.xlsx")])
        == "list.xlsx is not a picture. Choose a JPEG, PNG, HEIC, TIFF or WebP."
    )
    assert sentence(PhotographsField(), [photograph("a.jpg", 0)]) == "a.jpg is empty. Choose it again."
    assert sentence(PhotographsField(most=1), [photograph(), photograph()]).startswith(
        "That is two files; 1 go in one press."
    )
    assert PhotographsField(required=False).clean([]) == []


def test_a_paper_is_a_file_or_words_about_one() -> None:
    deed = photograph("deed.pdf")
    assert PaperField().clean(SaidPaper("", deed)).file is deed
    assert PaperField().clean(SaidPaper("letter 26-18, blue binder")) == SaidPaper("letter 26-18, blue binder")
    assert PaperField(required=False).clean(SaidPaper()) is None
    assert sentence(PaperField(), SaidPaper("", photograph("deed.docx"))).startswith(
        "deed.docx is not a photograph or a PDF."
    )


def test_a_form_bears_a_key_from_its_first_showing_and_keeps_it_over_an_error() -> None:
    key = re.search(r'name="key" value="([0-9a-f]{32})"', shown(DoorForm()))
    assert key
    assert key[1] not in shown(DoorForm())
    failed = DoorForm({"key": key[1]})
    assert not failed.is_valid()
    assert f'name="key" value="{key[1]}"' in shown(failed)


def test_a_form_carries_the_version_it_was_shown_from() -> None:
    assert 'name="version" value="7"' in shown(DoorForm(initial={"version": 7}))


def test_a_failed_act_says_how_many_places_want_somebody_and_leads_to_them() -> None:
    form = DoorForm({"what_it_is": "", "mass_g": "-3"})
    summary = form.summary()
    assert summary.say == "The entry is not written. Three places want you."
    assert [line.href for line in summary.lines] == ["#id_what_it_is", "#id_how_group", "#id_mass_g"]
    markup = shown(form)
    assert all(f'id="{line.href[1:]}"' in markup for line in summary.lines)


def test_the_summary_says_that_files_are_not_kept() -> None:
    form = DoorForm({}, MultiValueDict({"photographs": [photograph()]}))
    assert form.summary().rest == "All you wrote is still here; choose the files once more."


def test_a_refusal_of_the_whole_keeps_the_way_to_mend_it() -> None:
    form = DoorForm(FILLED)
    form.add_error(None, ValidationError("2016.1 is broken.", params={"remedy": "/casts/2016.1/"}))
    line = form.summary().lines[0]
    assert (line.words, line.remedy) == ("2016.1 is broken.", "/casts/2016.1/")
    assert 'href="/casts/2016.1/"' in render_to_string("look/parts/summary.html", {"form": form})


def test_hint_and_error_are_told_with_the_field() -> None:
    markup = shown(DoorForm({"what_it_is": ""}))
    assert 'aria-describedby="id_what_it_is_helptext id_what_it_is_error"' in markup
    assert 'aria-invalid="true"' in markup
    assert 'id="id_what_it_is_error"' in markup


def test_what_may_be_left_says_so_and_what_is_wanted_does_not() -> None:
    markup = shown(DoorForm())
    assert markup.count("(if known)") == 4


def test_a_folded_section_stands_open_when_something_in_it_is_filled_in() -> None:
    assert "<details>" in shown(DoorForm())
    assert "<details open>" in shown(DoorForm(initial={"made": "1987~"}))
    assert "<details open>" in shown(DoorForm(FILLED | {"made": "spring tide"}))


def test_a_line_that_is_too_long_says_by_how_much() -> None:
    assert DoorForm(FILLED | {"what_it_is": "x" * 41}).errors["what_it_is"] == [
        "Shorten this to 40 letters; it has 41."
    ]


def test_what_people_write_is_never_markup() -> None:
    evil = '"><script>x</script>'
    markup = shown(DoorForm({"what_it_is": evil, "from_whom": evil, "mass_g": evil, "made": evil}))
    assert "<script>" not in markup
    assert "&lt;script&gt;" in markup
