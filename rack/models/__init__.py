"""Rows and the QuerySets that read them; one concept a file, no rules."""

from rack.models.deliveries import Delivered, Delivery
from rack.models.files import File
from rack.models.journal import Entry, Journal, PieceEntry
from rack.models.people import Device, Post, Role, Site, Token
from rack.models.pieces import Component, Hold, Mark, MarkKind, Move, Spec
from rack.models.places import Place, PlaceKind
from rack.models.reference import OfficeRow
from rack.models.tallies import (
    RANK_STEP,
    Consent,
    Correction,
    Line,
    PencilPhoto,
    Purpose,
    Sheet,
    Stand,
    Strap,
    StrapHead,
    Tally,
)

__all__ = [
    "RANK_STEP",
    "Component",
    "Consent",
    "Correction",
    "Delivered",
    "Delivery",
    "Device",
    "Entry",
    "File",
    "Hold",
    "Journal",
    "Line",
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
    "Stand",
    "Strap",
    "StrapHead",
    "Tally",
    "Token",
]
