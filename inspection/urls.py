"""The addresses of inspection; rack includes them where the app is installed."""

from django.urls import URLPattern, path

from inspection.views import (
    criteria,
    due,
    due_files,
    fallen,
    grid,
    grid_save,
    inspections,
    inspectors,
    jobs,
    papers,
    policies,
    recording,
    reports,
)

urlpatterns: list[URLPattern] = [
    # When it is due
    path("due/", due.due_list, name="due_list"),
    path("due/list.pdf", due_files.due_pdf, name="due_pdf"),
    path("due/list.csv", due_files.due_csv, name="due_csv"),
    path("due/list.xlsx", due_files.due_xlsx, name="due_xlsx"),
    path("due/sites/", due.due_sites, name="due_sites"),
    path("due/fallen/", fallen.due_fallen, name="due_fallen"),
    path("due/fallen.pdf", fallen.due_fallen_pdf, name="due_fallen_pdf"),
    path("due/<str:tag>/", due.due_piece, name="due_piece"),
    # Jobs
    path("jobs/", jobs.job_list, name="job_list"),
    path("jobs/new/", jobs.job_new, name="job_new"),
    path("jobs/<int:number>/", jobs.job, name="job"),
    path("jobs/<int:number>/do/<slug:what>/", jobs.job_change, name="job_change"),
    path("jobs/<int:number>/picks.pdf", papers.job_picks, name="job_picks"),
    path("jobs/<int:number>/record.pdf", papers.job_record, name="job_record"),
    # What the site goes by
    path("intervals/", policies.interval_list, name="interval_list"),
    path("intervals/new/", policies.interval_new, name="interval_new"),
    path("intervals/<int:pk>/take-back/", policies.interval_back, name="interval_back"),
    path("intervals/service/", policies.interval_service, name="interval_service"),
    path("intervals/edition/", policies.interval_edition, name="interval_edition"),
    path("criteria/", criteria.inspect_criteria, name="inspect_criteria"),
    # A report of the inspection company; these stand before an address that ends in a tag
    path("inspect/report/", reports.inspect_report, name="inspect_report"),
    path("inspect/report/<str:digest>/", reports.inspect_report_preview, name="inspect_report_preview"),
    path("inspect/report/<str:digest>/<int:pk>/", reports.inspect_report_stored,
         name="inspect_report_stored"),
    # What was found
    path("inspections/<int:pk>/record.pdf", papers.inspection_record, name="inspection_record"),
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
