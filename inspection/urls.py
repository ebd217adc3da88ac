"""The addresses of inspection; rack includes them where the app is installed."""

from django.urls import URLPattern, path

from inspection.views import due, grid, grid_save, inspections, inspectors, recording

urlpatterns: list[URLPattern] = [
    path("due/", due.due_list, name="due_list"),
    path("inspections/<int:pk>/", inspections.inspection, name="inspection"),
    path("inspections/<int:pk>/take-back/", inspections.inspection_back, name="inspection_back"),
    path("inspections/<int:pk>/report/", inspections.inspection_report, name="inspection_report"),
    path("inspections/<int:pk>/photo/<int:finding>/", inspections.inspection_photo, name="inspection_photo"),
    path("inspectors/", inspectors.inspector_list, name="inspector_list"),
    path("inspectors/<int:pk>/end/", inspectors.inspector_end, name="inspector_end"),
    path("inspect/grid/", grid.inspect_grid, name="inspect_grid"),
    path("inspect/grid/save/", grid_save.inspect_grid_save, name="inspect_grid_save"),
    path("inspect/<str:tag>/", recording.inspect_piece, name="inspect_piece"),
]
