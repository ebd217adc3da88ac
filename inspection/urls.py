"""The addresses of inspection; rack includes them where the app is installed."""

from django.urls import URLPattern, path

from inspection.views import due, fallen, jobs, papers

urlpatterns: list[URLPattern] = [
    path("due/", due.due_list, name="due_list"),
    path("due/fallen/", fallen.due_fallen, name="due_fallen"),
    path("due/fallen.pdf", fallen.due_fallen_pdf, name="due_fallen_pdf"),
    # Jobs
    path("jobs/", jobs.job_list, name="job_list"),
    path("jobs/new/", jobs.job_new, name="job_new"),
    path("jobs/<int:number>/", jobs.job, name="job"),
    path("jobs/<int:number>/do/<slug:what>/", jobs.job_change, name="job_change"),
    path("jobs/<int:number>/picks.pdf", papers.job_picks, name="job_picks"),
    path("jobs/<int:number>/record.pdf", papers.job_record, name="job_record"),
    # What was found
    path("inspections/<int:pk>/record.pdf", papers.inspection_record, name="inspection_record"),
]
