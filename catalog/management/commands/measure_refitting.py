"""`manage.py measure_refitting [--noise 5 10] [--pieces 180] [--seed N]`: how often the true partner is among five."""

from __future__ import annotations

from statistics import mean, stdev
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from catalog.casts.refitting import ranked_fits
from catalog.casts.simulated import chance, made_up_cast, recall

UP_MARKS = (0.8, 0.0)


class Command(BaseCommand):
    help = (
        "Makes casts of known truth, suggests fits and prints for what share of the faces the true partner is among the "
        "first five, with up-marks on 80 of 100 pieces and with none, beside five drawn at random from the lifts around. "
        "Real casts will do worse."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--noise", nargs="+", type=float, default=[5, 10], help="of the sizes, in percent")
        parser.add_argument("--pieces", type=int, default=180, help="of each cast")
        parser.add_argument("--seed", type=int, default=2026, help="of the first cast; each next one takes the next")
        parser.add_argument("--casts", type=int, default=50, help="how many are made for each line")

    def handle(self, *args: Any, **options: Any) -> None:
        pieces, casts = options["pieces"], options["casts"]
        if pieces < 2 or casts < 1 or any(not 0 <= noise <= 50 for noise in options["noise"]):
            raise CommandError("At least 2 pieces and 1 cast are needed, and a noise from 0 to 50 percent.")
        self.stdout.write(
            f"{casts} made-up casts of {pieces} pieces, seeds from {options['seed']}. True partner in five:"
        )
        self.stdout.write(f"{'noise':>6}{'up-marks':>10}{'mean':>7}{'spread':>8}{'worst':>7}{'in ten':>8}{'chance':>8}")
        for noise in options["noise"]:
            for marks in UP_MARKS:
                self.stdout.write(_line(pieces, noise, marks, range(options["seed"], options["seed"] + casts)))


def _line(pieces: int, noise: float, marks: float, seeds: range) -> str:
    five, ten, at_random = [], [], []
    for seed in seeds:
        cast = made_up_cast(pieces, noise / 100, seed, up_marks=marks)
        ranked = {face: [other for other, _, _ in row] for face, row in ranked_fits(cast.faces, best=10).items()}
        five.append(recall(cast.partner, {face: row[:5] for face, row in ranked.items()}))
        ten.append(recall(cast.partner, ranked))
        at_random.append(chance(cast))
    spread = stdev(five) if len(five) > 1 else 0.0
    return (
        f"{noise:>5g}%{f'{marks:.0%}':>10}{mean(five):>7.3f}{spread:>8.3f}{min(five):>7.3f}{mean(ten):>8.3f}"
        f"{mean(at_random):>8.3f}"
    )
