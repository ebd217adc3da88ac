"""What left the demo rig: tools for inspection, of which one was short, and a motor for repair."""

from rack.actions.arriving import Came, arrive
from rack.actions.loads import LoadHead, Put, open_load, put_in, send
from rack.demo.rig import Rig
from rack.models import LoadOut


def tools_go_to_inspection(rig: Rig) -> None:
    """Five were sent, four were counted at the shop; the fifth stays in transit until it is found."""
    rig.clock.day(26, "13:30")
    head = LoadHead("inspection", to="Kvalby Inspection, quay 4", carrier="Boat Marlo", remark="order 311")
    load = open_load(rig.ask("load 1", "ada"), rig.site, head)
    put_in(
        rig.ask("load 1, lift 1", "ada"),
        load,
        rig.pieces("JAR 81", "STB 1221", "STB 1222"),
        Put("1", "both"),
    )
    put_in(rig.ask("load 1, basket", "ada"), load, rig.pieces("LS 81", "XO 34"), Put("basket", "pin"))
    send(rig.ask("send load 1", "ola"), load)
    rig.clock.day(24, "09:50")
    came = Came(
        tags=tuple(one.tag for one in rig.pieces("JAR 81", "STB 1221", "STB 1222", "LS 81")),
        remark="XO 34 was not in the basket",
    )
    arrive(rig.ask("load 1 arrives", "ola"), fresh(load), came)


def motor_goes_for_repair(rig: Rig) -> None:
    """On its way now."""
    rig.clock.day(5, "16:40")
    head = LoadHead("repair", to="Nordmoen workshop", carrier="Boat Marlo", remark="stator to be relined")
    load = open_load(rig.ask("load 2", "ben"), rig.site, head)
    put_in(
        rig.ask("load 2, motor", "ben"),
        load,
        rig.pieces("MTR 675-4"),
        Put("1", "both", "stator chunked, rubber at the bit box"),
    )
    put_in(rig.ask("load 2, jar", "ben"), load, rig.pieces("JAR 7"), Put("2", "both"))
    send(rig.ask("send load 2", "ola"), load)


def fresh(load: LoadOut) -> LoadOut:
    return LoadOut.objects.select_related("site", "to_site").get(pk=load.pk)
