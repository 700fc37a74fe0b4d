"""What an address of patterns names."""

from uuid import UUID

from django.http import Http404

from cases.bench.models import Pair
from cases.patterns import queries
from shared.sides import Side


def pair_or_404(uuid: UUID) -> Pair:
    pair = queries.pair_named(uuid)
    if pair is None:
        raise Http404
    return pair


def side_or_404(word: str) -> Side:
    if word not in Side.values:
        raise Http404
    return Side(word)
