"""Every address of the rack, one a line, grouped by area."""

from django.contrib.auth.views import LogoutView
from django.urls import URLPattern, URLResolver, path

from rack.api.app import api
from rack.views import (
    accounts,
    again,
    pencil,
    piece,
    rack,
    receiving,
    reference,
    reference_picks,
    sheets,
    stands,
    strapping,
    tags,
    tallies,
    tally,
    tally_changes,
)

urlpatterns: list[URLPattern | URLResolver] = [
    # People
    path("begin/", accounts.begin, name="begin"),
    path("sign-in/", accounts.SignIn.as_view(), name="login"),
    path("sign-out/", LogoutView.as_view(), name="logout"),
    path("password/", accounts.OwnPassword.as_view(), name="password_change"),
    path("site/", accounts.choose_site, name="choose_site"),
    path("accounts/", accounts.accounts, name="accounts"),
    path("accounts/<int:pk>/", accounts.account, name="account"),
    # Straps, and the door for readings
    path("api/", api.urls),
    path("tallies/<int:number>/strap/<int:strap_n>/", strapping.strap, name="strap"),
    # Tallies
    path("tallies/", tallies.tally_list, name="tally_list"),
    path("tallies/new/", tallies.tally_new, name="tally_new"),
    path("tallies/<int:number>/", tally.tally, name="tally"),
    path("tallies/<int:number>/compare/", tally.compare, name="compare"),
    path("tallies/<int:number>/again/", again.again, name="tape_again"),
    path("tallies/<int:number>/again.pdf", again.again_pdf, name="again_pdf"),
    path("tallies/<int:number>/stands/", stands.stands, name="stands"),
    path("tallies/<int:number>/close/", tally.tally_close, name="tally_close"),
    path("tallies/<int:number>/pencil.pdf", pencil.pencil_pdf, name="pencil_pdf"),
    path("tallies/<int:number>/pencil/", pencil.pencil, name="pencil"),
    path("tallies/<int:number>/pencil/<int:pk>/", pencil.pencil_photo, name="pencil_photo"),
    path("tallies/<int:number>/do/<slug:what>/", tally_changes.tally_change, name="tally_change"),
    # Sheets, at the address that their paper bears
    path("S/<str:code>.pdf", sheets.sheet_pdf, name="sheet_pdf"),
    path("S/<str:code>.csv", sheets.sheet_table, name="sheet_csv"),
    path("S/<str:code>/", sheets.sheet, name="sheet"),
    path("S/<str:code>", sheets.sheet, name="sheet_scanned"),
    path("s/<str:code>", sheets.sheet, name="sheet_typed"),
    # The rack
    path("", rack.rack_list, name="home"),
    path("rack/", rack.rack_list, name="rack_list"),
    path("rack/totals/", rack.rack_totals, name="rack_totals"),
    path("rack/places/", rack.place_list, name="place_list"),
    path("rack/places/<int:pk>/<slug:what>/", rack.place_change, name="place_change"),
    path("find/", rack.search, name="search"),
    path("T/<str:code>", rack.tag, name="tag"),
    path("t/<str:code>", rack.tag),
    path("tags/", tags.tags, name="tags"),
    path("tags.pdf", tags.tags_pdf, name="tags_pdf"),
    # What comes in
    path("receive/", receiving.receive, name="receive"),
    path("receive/<str:digest>/", receiving.preview, name="preview"),
    path("deliveries/<int:pk>/", receiving.delivery, name="delivery"),
    # The handbook
    path("reference/", reference.reference, name="reference"),
    path("reference/pipe/", reference_picks.pipe, name="reference_pipe"),
    path("reference/connections/", reference_picks.connections, name="reference_connections"),
    path("reference/casing/", reference_picks.casing, name="reference_casing"),
    path("reference/bits/", reference_picks.bits, name="reference_bits"),
    path("reference/tables/<slug:name>/", reference.reference_table, name="reference_table"),
    path("reference/tables/<slug:name>/add/", reference.reference_add, name="reference_add"),
    path("reference/rows/<int:pk>/take-back/", reference.reference_take_back, name="reference_take_back"),
    # One piece
    path("piece/<str:tag>/", piece.piece, name="piece"),
    path("piece/<str:tag>/hold/", piece.piece_hold, name="piece_hold"),
    path("piece/<str:tag>/release/<int:pk>/", piece.piece_release, name="piece_release"),
    path("piece/<str:tag>/move/", piece.piece_move, name="piece_move"),
    path("piece/<str:tag>/name/", piece.piece_name, name="piece_name"),
    path("piece/<str:tag>/state/", piece.piece_state, name="piece_state"),
]
