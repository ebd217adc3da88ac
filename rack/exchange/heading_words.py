"""The words of headings in the languages of the trade, the units, and how lengths were taken. Words only."""

#: role -> what lists call it: English, German, French, Spanish, Norwegian; the words without accents.
WORDS: dict[str, str] = {
    "number": (
        "no d ordre | n d ordre | correlativo | lopenummer | rad | linje | "
        "no | nr | num | number | item no | item number | lfd | lfd nr | lfdnr | laufende nr | "
        "laufende nummer | pos | pos nr | position | line | line no | row | jt | jt no | joint | "
        "joint no | jnt | jnt no | joint number | jt nr | seq | sequence | running no | running "
        "number | running nr | # | stk nr | rohr nr | rohrnummer | count | n | no de ligne | "
        "numero | num ero | lnr | lopenr | rekkefolge | item nr | s no | sl no | sr no"
    ),
    "serial": (
        "no serie | no de fabrication | numero de fabricacion | fabrikasjonsnr | "
        "serial | serial no | serial nr | serial number | serial num | serial # | ser no | ser nr "
        "| s n | sn | serie | serien nr | seriennr | seriennummer | serien nummer | fabrik nr | "
        "fabriknummer | fabr nr | no de serie | numero de serie | n de serie | num serie | nro de "
        "serie | n serie | serienr | serienummer | pipe id | joint id | id no | ident | ident nr "
        "| mill no | heat no | pipe no | pipe number | pipe serial"
    ),
    "owner_no": (
        "owner no | owners no | owner s no | owner number | owner nr | owner id | asset | asset "
        "no | asset number | asset id | company no | our no | rig no | rental no | eigentumer nr "
        "| eigentuemer nr | inventar nr | inventarnummer | inv nr | unsere nr | no proprietaire | "
        "no inventaire | no propietario | no inventario | eier nr | eiers nr | equipment no | "
        "unit no"
    ),
    "painted": (
        "repere | repere peint | numero de peinture | marca pintada | malingsnr | pintado | "
        "painted no | painted number | painted | paint no | paint number | ptd no | ptd | ptd "
        "number | painted nr | paint nr | farb nr | mal nr | aufgemalte nr | aufgemalt | bemalte "
        "nr | anstrich nr | no peint | numero peint | no pintado | numero pintado | malt nr | "
        "malt nummer | rack no | tally no | stencilled no"
    ),
    "item": (
        "item | items | description | item description | designation | bezeichnung | benennung | "
        "artikel | gegenstand | beschreibung | material | descripcion | articulo | beskrivelse | "
        "betegnelse | gjenstand | article | pipe | pipe description | product | produkt | "
        "specification | spec | tubular | equipment | goods | ware"
    ),
    "kind": (
        "kind | type | typ | art | kategorie | category | tipo | clase de pieza | genre | slag | "
        "pipe type | equipment type"
    ),
    "od": (
        "o ext | o exterieur | diametre ext | diam exterieur | o exterior | diametro nominal | "
        "diametre nominal | nominell diameter | ytre diam | "
        "od | pipe body od | o d | size | outside diameter | outer diameter | diameter | dia | "
        "nominal size | pipe od | pipe size | tube od | body od | ad | a d | aussendurchmesser | "
        "aussen durchmesser | aussen o | durchmesser | nennweite | grosse | groesse | abmessung | "
        "diametre | diametre exterieur | d ext | diam ext | taille | diametro | diametro exterior "
        "| diam | tamano | ytre diameter | utvendig diameter | yd | storrelse | dimensjon | "
        "dimension"
    ),
    "bore": (
        "o int | o interior | diametre int | diam interieur | indre diam | "
        "bore | pipe body id | body id | id | i d | inside diameter | inner diameter | pipe id in "
        "| tube id | innendurchmesser | innen durchmesser | bohrung | innen o | diametre "
        "interieur | d int | alesage | diametro interior | indre diameter | innvendig diameter"
    ),
    "wall": (
        "espesor de pared | epaisseur de paroi | godstykkelse | "
        "wall | wt | w t | wall thickness | thickness | wandstarke | wandstaerke | wanddicke | "
        "wand | wd | ws | epaisseur | espesor | pared | veggtykkelse | tykkelse | nominal wall"
    ),
    "weight": (
        "weight | nominal wt | nom weight | wt per ft | wgt | nominal weight | nom wt | nom "
        "weight | unit weight | linear weight | lb ft | lbs ft | ppf | gew | gewicht | "
        "metergewicht | masse | poids | poids lineaire | peso | peso lineal | vekt | metervekt | "
        "label weight | adj weight | wt"
    ),
    "grade": (
        "qualite | calidad | nuance acier | grado de acero | stalgrad | "
        "grade | gr | gute | guete | stahlgute | stahlguete | stahlsorte | steel grade | gd | "
        "nuance | grado | acero | kvalitet | stalkvalitet | werkstoff | mat grade"
    ),
    "range": ("range | rng | rg | lange klasse | langenklasse | laengenklasse | gamme | rango | r"),
    "connection": (
        "filetages | tipo de rosca | type de filetage | gjengetype | "
        "connection | connections | conn | thread | threads | thread type | tool joint | tj | "
        "tool joint connection | connection type | end connection | verb | verbindung | verbinder "
        "| gewinde | anschluss | gewindeverbindung | filetage | connexion | raccord | filet | "
        "conexion | rosca | gjenger | gjenge | kobling | gewindetyp | joint type | conn type"
    ),
    "up_conn": (
        "box connection | top connection | upper connection | conn up | connection up | up conn | "
        "box thread | top conn | upper conn | verbindung oben | muffe | gewinde oben | conn top | "
        "connection top | connection box | box conn | conn box"
    ),
    "down_conn": (
        "pin connection | bottom connection | lower connection | conn down | connection down | "
        "down conn | pin thread | bottom conn | lower conn | verbindung unten | zapfen | gewinde "
        "unten | conn bottom | connection bottom | connection pin | pin conn | conn pin"
    ),
    "tj_od": ("tool joint od | tj od | tooljoint od | verbinder ad | tool joint ad | box od | pin od"),
    "tj_bore": ("tool joint id | tj id | tooljoint id | verbinder id | pin id"),
    "length": (
        "longueurs | longueur totale | longueur mesuree | longitudes | longitud total | longitud "
        "medida | malt lengde | lengder | total lengde | "
        "length | lengths | lgth | len | lgt | lng | joint length | measured length | tally "
        "length | overall length | oal | makeup length | make up length | shoulder to shoulder | "
        "s s length | mill length | lange | laenge | langen | lg | rohrlange | rohrlaenge | "
        "einzellange | gesamtlange | nutzlange | baulange | longueur | longueur utile | long | "
        "longitud | largo | lengde | rorlengde | strap | eff length | effective length | length "
        "pins off | length threads on | length threads off | tube length | pipe length"
    ),
    "length_unit": "unit | units | uom | length unit | unit of length | einheit | unite | unidad | enhet",
    "pipe_class": (
        "condicion | etat | tilstand | tilstandsklasse | "
        "class | pipe class | condition class | classification | klasse | zustandsklasse | kl | "
        "classe | clase | klassifisering | cl | tube class | inspection class | premium class"
    ),
    "place": (
        "rangee | parc | patio | fila | stativ nr | "
        "rack | place | location | layer | rack layer | bay | lager | lagerplatz | lagerort | "
        "platz | ort | gestell | emplacement | ubicacion | lugar | plass | plassering | sted | "
        "stativ | yard | row no | storage"
    ),
    "quantity": (
        "qty | quantity | pcs | pieces | no of joints | joints | menge | stuck | stueck | stk | "
        "anzahl | quantite | qte | cantidad | cant | antall | ant"
    ),
    # Columns that are known and carry nothing which is kept beside what was typed.
    "": (
        "run | run no | date | datum | dato | fecha "
        "| last inspection | inspection date | last insp | inspected | inspector | checked by | "
        "measured by | cum | cumulative | cum length | running total | total | total length | "
        "kumuliert | summe | accumulated | acumulado | kum | gesamt | drift | hardband | "
        "hardbanding | hb | coating | ipc | manufacturer | maker | hersteller | mill | heat | "
        "charge | owner | eigentumer | eigentuemer | proprietaire | propietario | eier | tag | "
        "rfid | stencil | mass | gross weight | net weight | total weight | bruttogewicht | price "
        "| year | baujahr | customer | order no | po | delivery | certificate | cert no | zeugnis "
        "nr | bundle | status | report no | tong space | bands | band | colour | farbe | hours | "
        "ok | accepted | truck"
    ),
}

#: The columns that say a fact of one piece (`rack.calc.columns.OWN_ROLES`), and remarks.
OWN_WORDS: dict[str, str] = {
    "nozzles": (
        "nozzles | nozzle | nozzles fitted | nozzle size | nozzle sizes | nzl | nzls | jets | jet size | "
        "jet sizes | dusen | duesen | dusenbestuckung | duses | boquillas | toberas | dyser"
    ),
    "code": "iadc | iadc code | iadc no | bit code | code iadc | codigo iadc | iadc kode",
    "gauge": "gauge | gage | full gauge | nominal gauge | kaliber | calibre | calibre nominal",
    "gauge_measured": (
        "gauge measured | measured gauge | gauge as measured | actual gauge | gauge actual | kaliber gemessen"
    ),
    "blade": "blade length | blade | flugellange | rippenlange | longueur des lames | largo de aleta",
    "neck_od": "fishing neck od | fn od | neck od | fishing neck dia | fanghals ad | fanghals",
    "neck": "fishing neck length | fn length | fn lgth | neck length | fnl | fanghals lange | fishing neck",
    "bend": (
        "bend | bend setting | bent housing | bend angle | motor bend | bent housing setting | knickwinkel | "
        "knick | angle de coude | coude | angulo | vinkel"
    ),
    "stator": (
        "stator | stator date | stator fitted | stator relined | reline date | stator reline date | "
        "stator datum | statordatum | fecha estator"
    ),
    "lobes": "lobes | lobes stages | lobe | lobe config | power section | stages",
    "action": "jar action | jar type | jar works",
    "clamp": "mandrel clamp | clamp | safety clamp | klemme",
    "core": "core diameter | core size | core od | kerndurchmesser | kern",
    "barrel": "barrel length | core barrel length | kernrohrlange",
    "opens": "opens to | opening to | opening size | offnet auf",
    "float": "float | float valve | float fitted | float type | ruckschlagklappe",
    "sensor": "sensor offset | sensor | sensor to pin | sensor distance | bit to sensor",
    "length_open": (
        "length open | open length | lgth open | jar open | open | lange offen | longueur ouvert | "
        "longueur ouverte | longitud abierta | longitud abierto | lengde apen"
    ),
    "length_closed": (
        "length closed | closed length | lgth closed | jar closed | closed | lange geschlossen | "
        "longueur ferme | longueur fermee | longitud cerrada | longitud cerrado | lengde lukket"
    ),
    "remarks": (
        "remarks | remark | comment | comments | notes | note | bemerkung | bemerkungen | notiz | "
        "anmerkung | anmerkungen | remarque | remarques | observaciones | observacion | merknad | merknader"
    ),
}
WORDS.update(OWN_WORDS)

#: A unit as headings write it -> its name. "in" and "m" count only as a word by themselves.
UNITS = {
    "ft": "ft",
    "feet": "ft",
    "foot": "ft",
    "fuss": "ft",
    "'": "ft",
    "pieds": "ft",
    "pies": "ft",
    "fot": "ft",
    "in": "in",
    "inch": "in",
    "inches": "in",
    "ins": "in",
    "zoll": "in",
    '"': "in",
    "pouces": "in",
    "pulgadas": "in",
    "pulg": "in",
    "tommer": "in",
    "m": "m",
    "mtr": "m",
    "mtrs": "m",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
    "metros": "m",
    "mts": "m",
    "cm": "cm",
    "mm": "mm",
    "millimeter": "mm",
    "millimetres": "mm",
    "kg/m": "kg/m",
    "lb/ft": "lb/ft",
    "lbs/ft": "lb/ft",
    "lbf/ft": "lb/ft",
    "ppf": "lb/ft",
    "#/ft": "lb/ft",
    "lb/pie": "lb/ft",
    "lb/pi": "lb/ft",
    "lbs/pie": "lb/ft",
    "kg": "kg",
    "lb": "lb",
    "lbs": "lb",
    "t": "t",
}
#: Words about a length -> how it was taken.
LENGTH_KINDS = (
    (
        r"pins? off|without pin|w o pin|excl\w* pin|pins? not counted|"
        r"shoulder to shoulder|shldr to shldr|ohne zapfen|"
        r"schulter zu schulter|epaulement|hombro a hombro|uten tapp",
        "pins off",
    ),
    (r"threads? on|incl\w* thread|mit gewinde|hors tout filetage|con rosca|med gjenger", "threads on"),
    (
        r"threads? off|excl\w* thread|without thread|ohne gewinde|"
        r"hors filetage|sin rosca|uten gjenger|effective|make ?up length|makeup length|nutzlange",
        "threads off",
    ),
    (
        r"overall|oal|incl\w* pin|end to end|gesamtlange|uber alles|"
        r"mit zapfen|hors tout|total length of joint|med tapp",
        "overall, tool",
    ),
)
