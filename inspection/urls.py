"""The addresses of inspection; rack includes them where the app is installed."""

from django.urls import URLPattern, path

from inspection.views import due

urlpatterns: list[URLPattern] = [
    path("due/", due.due_list, name="due_list"),
]
