"""The well of a casing plan becomes one of the site's wells; a name that the site does not keep stays text."""

import django.db.models.deletion
from django.db import migrations, models
from django.db.models import Q


def link(apps, schema_editor):
    """Tie a plan to the well of its site that bears the typed name, where that changes no figure of it."""
    plans = apps.get_model("rack", "CasingPlan").objects
    wells = apps.get_model("rack", "Well").objects
    readings = apps.get_model("rack", "DatumReading").objects
    for plan in plans.exclude(well_said="").select_related("tally"):
        found = list(wells.filter(site_id=plan.tally.site_id, name__iexact=plan.well_said)[:2])
        if len(found) != 1:
            continue
        newest = readings.filter(well=found[0], reverses=None).order_by("-id").first()
        if newest is None or newest.shoulder_nm == plan.shoulder_nm:
            plans.filter(pk=plan.pk).update(well=found[0], well_said="")


def unlink(apps, schema_editor):
    plans = apps.get_model("rack", "CasingPlan").objects
    for plan in plans.exclude(well=None).select_related("well"):
        plans.filter(pk=plan.pk).update(well=None, well_said=plan.well.name)


class Migration(migrations.Migration):

    dependencies = [("rack", "0011_label_tables")]

    # The constraint comes before the rows are written: PostgreSQL alters no table with writes pending.
    operations = [
        migrations.RenameField("CasingPlan", "well", "well_said"),
        migrations.AddField(
            model_name="casingplan",
            name="well",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.PROTECT, related_name="casing_plans",
                to="rack.well",
            ),
        ),
        migrations.AddConstraint(
            model_name="casingplan",
            constraint=models.CheckConstraint(
                condition=Q(well=None) | Q(well_said=""), name="casingplan_one_well"
            ),
        ),
        migrations.RunPython(link, unlink),
    ]
