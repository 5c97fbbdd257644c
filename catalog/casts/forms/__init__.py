"""What was typed, read into what the actions take."""

from catalog.casts.forms.casts import DescribeForm, FormerNumberForm
from catalog.casts.forms.determinations import DeterminationForm

__all__ = ["DescribeForm", "DeterminationForm", "FormerNumberForm"]
