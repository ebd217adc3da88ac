"""Rows and the QuerySets that read them; one concept a file, no rules."""

from rack.models.casing import CasingItem, CasingPlan, CasingSheet, Centralizer
from rack.models.deliveries import Delivered, Delivery, RememberedMapping
from rack.models.files import File
from rack.models.journal import Entry, Journal, PieceEntry
from rack.models.loads import Arrival, Loaded, LoadOut, LoadSheet, LoadWhy
from rack.models.people import Device, Post, Role, Site, Token
from rack.models.pieces import Component, Hold, Mark, MarkKind, Move, PieceFact, Spec
from rack.models.places import Place, PlaceKind
from rack.models.plans import NotRun, Plan, PlanLine, RuleConsent
from rack.models.reference import OfficeRow
from rack.models.runs import Clock, DailyReport, Dogleg, Event, EventPiece, Hours, Leg, Run
from rack.models.string_sheets import StringSheet
from rack.models.strings import Change, Member, Section, String, Unlisted, What
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
from rack.models.wells import DatumReading, Well

__all__ = [
    "RANK_STEP",
    "CasingItem",
    "CasingPlan",
    "CasingSheet",
    "Centralizer",
    "Arrival",
    "Component",
    "Consent",
    "DailyReport",
    "DatumReading",
    "Correction",
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
    "NotRun",
    "OfficeRow",
    "PencilPhoto",
    "PieceEntry",
    "PieceFact",
    "Place",
    "PlaceKind",
    "Post",
    "Purpose",
    "RememberedMapping",
    "Role",
    "Sheet",
    "Site",
    "Spec",
    "Stand",
    "Strap",
    "StrapHead",
    "Tally",
    "Token",
    "Well",
    "Change",
    "Clock",
    "Dogleg",
    "Event",
    "EventPiece",
    "Hours",
    "Leg",
    "Run",
    "Member",
    "Plan",
    "PlanLine",
    "RuleConsent",
    "Section",
    "String",
    "StringSheet",
    "Unlisted",
    "What",
]
