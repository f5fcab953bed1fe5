"""The number of a paint in, about what it looks like on a screen, out.

All values here are approximate and from memory. They serve to see a panel before it is
painted, and to choose strokes by what is lighter; paint is matched against the maker's
chips and nothing else.
"""

from __future__ import annotations

import re
from typing import Final

#: The usual numbers of the RAL classic collection. Approximate, from memory.
_RAL: Final = """
1013:e3d9c7 1014:ddc49b 1015:e6d2b5 1018:faca31 1019:a48f7a 1021:f6b600 1023:f7b500 2000:da6e00
2003:f67829 2004:e25304 2009:de5308 3000:a72920 3001:9b2423 3002:9b2321 3003:861a22 3005:59191f
3009:6d342d 3011:792423 3020:bb1f11 5000:304f6e 5002:00387a 5003:1f3855 5005:005387 5007:376b8c
5008:2b3a44 5010:004f7c 5011:1a2b3c 5012:0089b6 5013:193153 5014:637d96 5015:007cb0 5017:005b8c
5018:048b8c 5024:6093ac 6001:366735 6002:325928 6003:50533c 6005:114232 6006:3c392e 6009:27352a
6010:4d6f39 6011:6c7c59 6014:474135 6018:61993b 6019:b9ceac 6021:8a9977 6027:7ebab5 6029:006f3d
7000:7a888e 7001:8c969d 7002:817863 7003:7a7669 7004:9b9b9b 7005:6c6e6b 7006:766a5e 7011:52595d
7012:575d5e 7015:4f5358 7016:383e42 7021:2f3234 7022:4c4a44 7023:808076 7024:45494e 7030:928e85
7031:5b686d 7032:b5b0a1 7033:7f8274 7034:92886f 7035:c5c7c4 7036:979392 7037:7a7b7a 7038:b0b0a9
7039:6b665e 7040:989ea1 7042:8e9291 7043:4f5250 7044:b7b3a8 7045:8d9295 7046:7f868a 7047:c8c8c7
8001:9d622b 8003:7e4b27 8011:5a3827 8012:66332b 8014:4a3526 8016:4c2b20 8017:442f29 8019:3d3635
8022:1a1719 9001:e9e0d2 9002:d7d5cb 9003:ecece7 9004:2b2b2c 9005:0e0e10 9006:a1a1a0 9007:878581
9010:f1ece1 9011:27292b 9016:f1f0ea 9017:2a292a 9018:c8cbc4
"""

#: The usual colours of AMS-STD-595 by the last four figures of their numbers; the first
#: figure tells the gloss (1 gloss, 2 semigloss, 3 flat). Approximate, from memory.
_AMS_STD_595: Final = """
0219:967759 1105:a3282e 1136:a0313a 2197:c9472f 3446:b39d78 3531:c4ae8c 3538:eba528 3613:d8c8a2
4062:354a3f 4079:4a5043 4087:57543f 4097:506048 4102:5b6546 4227:72906a 4533:b0c5a6 5042:2b3543
5044:2c3a52 5102:26588f 5109:2b6a94 5164:5a6e7e 5237:75838f 5450:86b0c6 6076:4c5054 6081:4e5152
6118:5e6468 6152:686d70 6173:6e7679 6187:717a7c 6231:7c8385 6251:7f878b 6270:858c8f 6307:949a99
6320:8a949a 6375:a0a8ac 6440:adaea6 6473:a9b3b3 6492:b4b9b7 6495:b6babb 6515:b9bfbd 6622:cfcfc7
7038:1f1f21 7875:f0f0ea 7925:f4f6f4
"""

#: The lists by their names, capitals and spaces aside, and how many of the last figures count.
_LISTS: Final = (
    ("RAL", re.compile(r"ral\s*[- ]?(\d{4})"), _RAL),
    (
        "AMS-STD-595",
        re.compile(r"(?:(?:ams|fed)[- ]?std[- ]?595[a-c]?|fs)\s*[- ]?[123](\d{4})"),
        _AMS_STD_595,
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
    for name, form, values in _LISTS:
        found = form.fullmatch(text.strip().lower())
        if found:
            known = re.search(rf"\b{found[1]}:(\w+)", values)
            if known:
                return known[1]
            raise ValueError(f"is not among the usual numbers of {name} that are known here")
    return None
