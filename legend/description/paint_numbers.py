"""Look up about what colour a numbered paint has on a screen.

All values here serve to see a panel before it is painted, and to choose strokes by what is
lighter. A screen and a paint never agree: paint is matched against the maker's chips and
nothing else.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

#: All of RAL Classic. A public list under the MIT licence.
_RAL: Final = """
1000:cdba88 1001:d0b084 1002:d2aa6d 1003:f9a800 1004:e49e00 1005:cb8e00 1006:e29000 1007:e88c00
1011:af804f 1012:ddaf27 1013:e3d9c7 1014:ddc49b 1015:e6d2b5 1016:f1dd38 1017:f6a950 1018:faca31
1019:a48f7a 1020:a08f65 1021:f6b600 1023:f7b500 1024:ba8f4c 1026:ffff00 1027:a77f0e 1028:ff9b00
1032:e2a300 1033:f99a1c 1034:eb9c52 1035:908370 1036:80643f 1037:f09200 2000:da6e00 2001:ba481b
2002:bf3922 2003:f67829 2004:e25304 2005:ff4d06 2007:ffb200 2008:ed6b21 2009:de5308 2010:d05d28
2011:e26e0e 2012:d5654d 2013:923e25 3000:a72920 3001:9b2423 3002:9b2321 3003:861a22 3004:6b1c23
3005:59191f 3007:3e2022 3009:6d342d 3011:792423 3012:c6846d 3013:972e25 3014:cb7375 3015:d8a0a6
3016:a63d2f 3017:cb555d 3018:c73f4a 3020:bb1f11 3022:cf6955 3024:ff2d21 3026:ff2a1b 3027:ab273c
3028:cc2c24 3031:a63437 3032:701d23 3033:a53a2d 4001:816183 4002:8d3c4b 4003:c4618c 4004:651e38
4005:76689a 4006:903373 4007:47243c 4008:844c82 4009:9d8692 4010:bc4077 4011:6e6387 4012:6b6b7f
5000:304f6e 5001:0f4c64 5002:00387a 5003:1f3855 5004:191e28 5005:005387 5007:376b8c 5008:2b3a44
5009:225f78 5010:004f7c 5011:1a2b3c 5012:0089b6 5013:193153 5014:637d96 5015:007cb0 5017:005b8c
5018:048b8c 5019:005e83 5020:00414b 5021:007577 5022:222d5a 5023:42698c 5024:6093ac 5025:21697c
5026:0f3052 6000:3c7460 6001:366735 6002:325928 6003:50533c 6004:024442 6005:114232 6006:3c392e
6007:2c3222 6008:37342a 6009:27352a 6010:4d6f39 6011:6c7c59 6012:303d3a 6013:7d765a 6014:474135
6015:3d3d36 6016:00694c 6017:587f40 6018:61993b 6019:b9ceac 6020:37422f 6021:8a9977 6022:3a3327
6024:008351 6025:5e6e3b 6026:005f4e 6027:7ebab5 6028:315442 6029:006f3d 6032:237f52 6033:46877f
6034:7aacac 6035:194d25 6036:04574b 6037:008b29 6038:00b51a 7000:7a888e 7001:8c969d 7002:817863
7003:7a7669 7004:9b9b9b 7005:6c6e6b 7006:766a5e 7008:745e3d 7009:5d6058 7010:585c56 7011:52595d
7012:575d5e 7013:575044 7015:4f5358 7016:383e42 7021:2f3234 7022:4c4a44 7023:808076 7024:45494e
7026:374345 7030:928e85 7031:5b686d 7032:b5b0a1 7033:7f8274 7034:92886f 7035:c5c7c4 7036:979392
7037:7a7b7a 7038:b0b0a9 7039:6b665e 7040:989ea1 7042:8e9291 7043:4f5250 7044:b7b3a8 7045:8d9295
7046:7f868a 7047:c8c8c7 7048:817b73 8000:89693e 8001:9d622b 8002:794d3e 8003:7e4b27 8004:8d4931
8007:70452a 8008:724a25 8011:5a3827 8012:66332b 8014:4a3526 8015:5e2f26 8016:4c2b20 8017:442f29
8019:3d3635 8022:1a1719 8023:a45729 8024:795038 8025:755847 8028:513a2a 8029:7f4031 9001:e9e0d2
9002:d7d5cb 9003:ecece7 9004:2b2b2c 9005:0e0e10 9006:a1a1a0 9007:878581 9010:f1ece1 9011:27292b
9016:f1f0ea 9017:2a292a 9018:c8cbc4 9022:858583 9023:797b7a
"""

#: The paints of RAL Classic that shine brighter than what lights them, as no screen can.
_FLUORESCENT: Final = frozenset({"1026", "2005", "2007", "3024", "3026", "6038"})

#: Colours of AMS-STD-595, by all five figures of their numbers or by the last four: the first
#: figure tells the gloss (1 gloss, 2 semigloss, 3 flat). All of these were measured flat
#: (FED-STD-595C, CIELab under D65, from a public table). A flat black is lighter than a glossy
#: one. 34088 was called 34087 until 1974.
_MEASURED: Final = """
0219:917360 3531:c9b49e 3613:eac6a2 4079:555548 4087:675e4c 4088:675e4c 4097:5d6249 4102:595b45
5042:3d454a 5164:61727f 5237:7a888e 6081:575a5a 6118:5a6269 6173:6f787f 6231:7f8587 6251:828585
6270:848a8d 6320:8a959d 6375:9aa5ab 6440:aeada3 6495:c3c8c7 6622:c3c1b4 37038:373838 7875:e4e5da
"""

#: More colours of AMS-STD-595, by the last four figures. Approximate, from memory.
_FROM_MEMORY: Final = """
1105:a3282e 1136:a0313a 2197:c9472f 3446:b39d78 3538:eba528 4062:354a3f 4187:3d8465 4227:72906a
4533:b0c5a6 5044:2c3a52 5102:26588f 5109:2b6a94 5123:2a719e 5450:86b0c6 6076:4c5054 6152:686d70
6187:717a7c 6307:949a99 6473:a9b3b3 6492:b4b9b7 6515:b9bfbd 7038:1f1f21 7925:f4f6f4
"""


@dataclass(frozen=True, slots=True)
class _List:
    """A list of paints: its name, how its numbers are written, and colours by these."""

    name: str
    form: re.Pattern[str]
    colours: dict[str, str]


def _colours(*tables: str) -> dict[str, str]:
    return dict(pair.split(":") for table in tables for pair in table.split())


#: The lists, capitals and spaces aside.
_LISTS: Final = (
    _List("RAL Classic", re.compile(r"ral\s*[- ]?(\d{4})"), _colours(_RAL)),
    _List(
        "AMS-STD-595",
        re.compile(r"(?:(?:ams|fed)[- ]?std[- ]?595[a-c]?|fs)\s*[- ]?([123]\d{4})"),
        _colours(_MEASURED, _FROM_MEMORY),
    ),
)


def paint_digits(text: str) -> str | None:
    """The colour of a paint's number as "rrggbb", approximate; None where the text is none.

    Error: ValueError where it is a number of a list whose colour is not known here.

    >>> paint_digits("RAL 7035")
    'c5c7c4'
    >>> paint_digits("AMS-STD-595 26152") == paint_digits("AMS-STD-595 36152")
    True
    """
    for each in _LISTS:
        found = each.form.fullmatch(text.strip().lower())
        if found:
            known = each.colours.get(found[1]) or each.colours.get(found[1][-4:])
            if known:
                return known
            raise ValueError(f"is not among the numbers of {each.name} that are known here")
    return None


def is_fluorescent(text: str) -> bool:
    """Whether a colour is a paint that shines brighter than a screen can show it."""
    found = _LISTS[0].form.fullmatch(text.strip().lower())
    return found is not None and found[1] in _FLUORESCENT
