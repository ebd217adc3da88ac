from django.apps import AppConfig


class InspectionConfig(AppConfig):
    name = "inspection"
    verbose_name = "Inspection"
    #: Lists the tables of this app on the page of sources (`manage.py write_sources`).
    sources_part = "inspection.calc.sources.sources_part"
    #: Its part of the bar: address name, word, verb, and how the names of its other addresses begin.
    desk_sections = (("due_list", "Due", "", ("due", "job", "inspect", "interval")),)
    #: Its chapters of the demo, each with the name of the rack's chapter before which it stands.
    demo_chapters = "inspection.demo.CHAPTERS"
    #: Its parts of `manage.py bench`, by name: a function of the environment of a second process.
    bench_parts = {
        "due": "inspection.benching.due.figures",
        "inspection": "inspection.benching.recording.figures",
    }
