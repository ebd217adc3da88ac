"""Rows and the QuerySets that read them; one concept a file, no rules."""

from rack.models.deliveries import Delivered, Delivery
from rack.models.files import File
from rack.models.journal import Entry, Journal, PieceEntry
from rack.models.loads import Arrival, Loaded, LoadOut, LoadSheet, LoadWhy
from rack.models.people import Device, Post, Role, Site, Token
from rack.models.pieces import Component, Hold, Mark, MarkKind, Move, Spec
from rack.models.places import Place, PlaceKind
from rack.models.reference import OfficeRow
from rack.models.tallies import (
    RANK_STEP,
    Consent,
    Line,
    PencilPhoto,
    Purpose,
    Sheet,
    Strap,
    StrapHead,
    Tally,
)

__all__ = [
    "RANK_STEP",
    "Arrival",
    "Component",
    "Consent",
    "Delivered",
    "Delivery",
    "Device",
    "Entry",
    "File",
    "Hold",
    "Journal",
    "Line",
    "LoadOut",
    "LoadSheet",
    "LoadWhy",
    "Loaded",
    "Mark",
    "MarkKind",
    "Move",
    "OfficeRow",
    "PencilPhoto",
    "PieceEntry",
    "Place",
    "PlaceKind",
    "Post",
    "Purpose",
    "Role",
    "Sheet",
    "Site",
    "Spec",
    "Strap",
    "StrapHead",
    "Tally",
    "Token",
]
