"""What people call the columns of a shot list, in six languages.

A title may stand for one of several columns, in the order in which they are tried on its cells:
under `shot` one list has numbers, another sizes. Common practice, no source.
"""

from __future__ import annotations

import difflib
import re

from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.tables.table import column_name
from sunsched.folder.text import words
from sunsched.folder.text.sizes import folded

# Columns for the hour: what they say counts where no other column says what light is wanted.
HOURS = frozenset({"time-of-day", "tod", "d-n", "day-night", "tageszeit", "moment", "momento"})
NEAR = 0.8  # how like a known column a title must be to be taken for a slip of it

# The columns that a title may stand for, then the titles; `language:` begins those of a language.
_TITLES: dict[tuple[str, ...], str] = {
    ("id",): (
        "shot-no,shot-nr,shot-number,shot-num,shot-id,no,nr,num,number,#,shot-#,"
        "setup-no,set-up-no,setup-nr,setup-#,slate,item,ref,n,order-no,de:,nummer,"
        "lfd-nr,einstellungsnummer,einst-nr,einstellung-nr,fr:,numero,n°,num-plan,"
        "no-plan,plan-n°,n°-plan,numero-de-plan,es:,n-plano,no-plano,plano-n°,"
        "n°-plano,num-plano,numero-de-plano,toma,it:,numero-inquadratura,n-inq,inq-n,"
        "inq,nr-inq,pt:,n-plano-pt,tomada"
    ),
    ("id", "size", "description"): (
        "shot,shots,de:,einstellung,einst,bild-nr,fr:,plan,plans,es:,plano,planos,"
        "it:,inquadratura,inquadrature,pt:,takes"
    ),
    ("id", "setup_min"): "setup,set-up,set-ups,setups",
    ("scene",): (
        "sc,scene-no,scene-nr,scene-number,scene-#,scenes,de:,szene,szenen,bild,sz,"
        "fr:,sequence,seq,scene-n°,es:,escena,secuencia,esc,sec,it:,scena,scene-it,"
        "pt:,cena"
    ),
    ("description",): (
        "desc,action,what,what-happens,shot-description,content,subject,details,"
        "shot-details,shot-desc,what-we-see,we-see,what-is-seen,image,picture,story,beat,"
        "de:,beschreibung,inhalt,handlung,aktion,was,bildinhalt,motivbeschreibung,fr:,descriptif,"
        "description-du-plan,contenu,es:,descripcion,accion,contenido,it:,"
        "descrizione,azione,contenuto,pt:,descricao,acao,conteudo"
    ),
    ("size",): (
        "shot-size,shot-type,framing,frame-size,fov,sizes,frame,camera-shot,"
        "shot-scale,scale,de:,einstellungsgrosse,grosse,bildgrosse,es-grosse,fr:,"
        "valeur,valeur-de-plan,cadre,cadrage,taille,echelle,es:,tipo-de-plano,"
        "encuadre,tamano,valor-de-plano,it:,campo,taglio,tipo-di-inquadratura,piano,"
        "grandezza,pt:,enquadramento,tipo-de-plano-pt,tamanho"
    ),
    ("size", "spot"): "type,tipo,typ",
    ("spot",): (
        "location,loc,set,place,where,stand,position,pos,spots,locations,site,"
        "camera-position,set-location,location-set,cam-pos,unit-base,de:,ort,drehort,"
        "motiv,schauplatz,standort,fr:,decor,lieu,endroit,emplacement,es:,lugar,"
        "localizacion,locacion,decorado,sitio,it:,luogo,ambiente,set-it,postazione,"
        "pt:,local,locacao,lugar-pt"
    ),
    ("look",): (
        "looks-to,looks-at,camera-looks-to,direction,camera-direction,cam-dir,cam-direction,dir,facing,lens-direction,"
        "towards,toward,bearing,heading,looking,camera-looks,cam-looks,cam-faces,"
        "camera-faces,faces,shooting-direction,"
        "looking-to,looking-toward,looking-towards,looks-toward,looks-towards,view,compass,look-deg,"
        "lens-to,lens-toward,lens-towards,lens-looks,lens-looks-to,lens-faces,lens-facing,camera-to,"
        "camera-toward,camera-towards,camera-facing,cam-to,cam-toward,cam-towards,cam-facing,de:,blick,blickrichtung,richtung,"
        "kamerarichtung,fr:,axe,direction-camera,orientation,regard,vers,axe-camera,"
        "es:,direccion,mira,orientacion,hacia,eje,it:,direzione,sguardo,verso,asse,"
        "orientamento,pt:,direcao,olhar,orientacao,eixo,para-onde"
    ),
    ("look", "lens_mm"): "camera,cam,kamera,caméra,camara",
    ("sun",): (
        "light,lighting,sun-wish,sun-position,sun-pos,sun-dir,sun-direction,"
        "light-direction,sunlight,light-dir,time-of-day,tod,day-part,d-n,day-night,sun-light,"
        "natural-light,de:,licht,sonne,sonnenstand,lichtrichtung,tageszeit,fr:,"
        "lumiere,soleil,eclairage,moment,es:,luz,sol,iluminacion,momento,it:,luce,"
        "sole,illuminazione,pt:,luz-pt,sol-pt,iluminacao"
    ),
    ("sun_from", "sun"): "sun-side,side,camera-side,from",
    ("elevation",): "sun-height,height,sun-elevation,altitude",
    ("azimuth",): "sun-bearing,sun-azimuth",
    ("setup_min",): (
        "setup-time,set-up-time,setup-min,set-up-min,prep,prep-time,rig-time,"
        "lighting-time,build,build-time,setup-minutes,set-up-minutes,de:,aufbau,"
        "einrichten,einrichtung,aufbauzeit,vorbereitung,fr:,installation,"
        "mise-en-place,preparation,es:,preparacion,montaje,it:,preparazione,"
        "allestimento,pt:,preparacao,montagem"
    ),
    ("adjust_min",): "adjust,adjust-time,relight,tweak,umbau",
    ("shoot_min",): (
        "minutes,min,mins,est-time,estimated-time,est,estimate,shoot-time,"
        "shooting-time,shoot,duration,length,how-long,time-needed,est-min,est-mins,"
        "est-duration,time-est,roll-min,roll-mins,roll-minutes,roll-time,est-shoot-time,shoot-mins,hours,hrs,de:,"
        "minuten,dauer,drehzeit,zeitbedarf,geschatzt,std,fr:,duree,temps,"
        "duree-estimee,temps-estime,minutage,es:,duracion,tiempo,minutos,"
        "tiempo-estimado,it:,durata,tempo,minuti,tempo-stimato,pt:,duracao,tempo-pt,"
        "minutos-pt"
    ),
    ("shoot_min", "clock"): "time,zeit,heure,hora,ora,times,uhrzeit,when",
    ("rig",): "grip,grip-rig,frames,butterfly,silk,overhead-frame",
    ("match",): "cuts-with,cut-with,matches,continuity,cuts-together",
    ("hold",): "hold-for-sun,must-have-sun",
    ("after",): "depends-on,needs-first,follows,comes-after",
    ("cast",): (
        "talent,actor,actors,who,who-is-in,who-is-in-shot,in-shot,character,characters,artists,artist,cast-members,"
        "on-camera,people,performers,de:,darsteller,schauspieler,personen,figuren,"
        "rolle,rollen,besetzung,fr:,comediens,comedien,acteurs,personnages,"
        "distribution,es:,actores,reparto,personajes,elenco,talento,it:,attori,"
        "personaggi,interpreti,pt:,atores,personagens"
    ),
    ("pin",): "fixed-time,must-roll-at,rolls-at,must-be-at,has-to-be-at",
    ("lens_mm",): (
        "lens,focal-length,focal,mm,lenses,lens-mm,de:,objektiv,brennweite,optik,fr:,"
        "optique,focale,objectif,es:,optica,objetivo,lente,it:,ottica,obiettivo,"
        "focale-it,pt:,lente-pt,objetiva"
    ),
}
# Abbreviations of sizes that are other sizes in other languages.
SHORT_SIZES = {
    "de": {
        "T": "Totale",
        "A": "amerikanisch",
        "N": "nah",
        "G": "gross",
        "D": "Detail",
        "HN": "halbnah",
        "HT": "Halbtotale",
        "AM": "amerikanisch",
    },
    "fr": {"PE": "plan d'ensemble", "PM": "plan moyen", "PL": "plan large", "PT": "plan taille"},
    "es": {"PE": "plano entero", "PM": "plano medio"},
    "it": {"FI": "figura intera", "PM": "piano medio"},
    "pt": {"PM": "plano médio", "PI": "plano inteiro"},
}
# Titles that no list of ours knows and that are no slip of one that it does.
_OTHERS = (
    "notes,note,vfx,sfx,props,prop,sound,audio,wardrobe,costume,make-up,makeup,hmu,"
    "equipment,gear,movement,move,camera-move,camera-movement,pages,page,status,"
    "priority,prio,crew,extras,stunts,vehicles,filter,fps,int-ext,ext-int,i-e,"
    "shots-done,done,takes,dialogue,music,comments,comment,remarks,"
    "looks,slots,title,edit,script-day,storyboard,frame-rate,aspect,time"
)
_WANTED = re.compile(r"-(?:wanted|needed|required|req|preferred|pref)$")  # `light wanted` is light
OTHERS = frozenset(_OTHERS.split(","))


def _read_titles() -> tuple[dict[str, tuple[str, ...]], dict[str, set[str]]]:
    known: dict[str, tuple[str, ...]] = {}
    spoken: dict[str, set[str]] = {}
    for columns, text in _TITLES.items():
        language = "en"
        for word in text.split(","):
            if word.endswith(":"):
                language = word[:-1]
                continue
            key = folded(re.sub(r"-(?:it|pt)$", "", word))
            known.setdefault(key, columns)
            spoken.setdefault(key, set()).add(language)
    return known, spoken


_KNOWN, _SPOKEN = _read_titles()


def key_of_title(title: str) -> str:
    """Give what the spellings of a title have in common; units in brackets are left out."""
    bare = re.sub(r"[(\[].*?[)\]]", " ", words.clean(title)).strip(" .:*?")
    key = folded(re.sub(r"\s*[/.]\s*|\s*&\s*", " ", bare or title))
    return _WANTED.sub("", key) or key


def columns_for(title: str) -> tuple[str, ...]:
    """Give the columns that a title may stand for, the likeliest first; none for no known one."""
    exact = column_name(title)
    if exact in COLUMNS:
        return (exact,)
    key = key_of_title(title)
    if column_name(key) in COLUMNS:
        return (column_name(key),)
    found = _KNOWN.get(key) or _KNOWN.get(key.removesuffix("s"))
    if found is None and "/" in title:  # `Set / Spot` says one thing twice
        each = {columns_for(part) for part in title.split("/") if words.clean(part)}
        # `Size / Lens` is a column of sizes with something beside them.
        found = each.pop() if len(each) == 1 else columns_for(title.split("/")[0])
    return found or ()


def languages_of(title: str) -> set[str]:
    """Give the languages in which a title is the word for a column; none for ours."""
    return _SPOKEN.get(key_of_title(title), set()) - {"en"}


def slip_of(title: str) -> str:
    """Give the known column that a title is a slip of, or an empty text."""
    name = column_name(title)
    if columns_for(title) or key_of_title(title) in OTHERS or len(name) < 4:
        return ""
    known = {words.key_of(one): one for one in COLUMNS}
    near = difflib.get_close_matches(words.key_of(title), known, n=1, cutoff=NEAR)
    return known[near[0]] if near else ""
