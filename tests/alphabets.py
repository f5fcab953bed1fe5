"""Alphabets of languages that panels are lettered in: small letters, as CLDR lists exemplar
characters (main and auxiliary ones that panels need), written down from memory."""

from __future__ import annotations

ALPHABETS = {
    "Afrikaans": "aáâbcdeéèêëfghiîïjklmnŉoôöpqrstuûvwxyz",
    "Albanian": "abcçdeëfghijklmnopqrstuvxyz",
    "Catalan": "aàbcçdeéèfghiíïjklŀmnoóòpqrstuúüvwxyz",
    "Croatian": "abcčćdđefghijklmnoprsštuvzž",
    "Crimean Tatar": "aâbcçdefgğhıijklmnñoöpqrsştuüvyz",
    "Czech": "aábcčdďeéěfghiíjklmnňoópqrřsštťuúůvwxyýzž",
    "Danish": "abcdefghijklmnopqrstuvwxyzæøå",
    "Dutch": "aáäbcdeéëfghiíïĳjklmnoóöpqrstuúüvwxyz",
    "Esperanto": "abcĉdefgĝhĥijĵklmnoprsŝtuŭvz",
    "Estonian": "abcdefghijklmnopqrsšzžtuvwõäöüxy",
    "Faroese": "aábdðefghiíjklmnoóprstuúvyýæø",
    "Finnish": "abcdefghijklmnopqrsštuvwxyzžåäö",
    "French": "aàâæbcçdeéèêëfghiîïjklmnoôœpqrstuùûüvwxyÿz",
    "German": "aäbcdefghijklmnoöpqrsßtuüvwxyz",
    "Hungarian": "aábcdeéfghiíjklmnoóöőpqrstuúüűvwxyz",
    "Icelandic": "aábdðeéfghiíjklmnoóprstuúvxyýþæö",
    "Irish": "aábcdeéfghiíjklmnoóprstuúvwxyz",
    "Italian": "aàbcdeéèfghiìjklmnoòpqrstuùvwxyz",
    "Kalaallisut": "abcdefghijĸklmnopqrstuvwxyzåæø",
    "Kashubian": "aąãbcdeéëfghijklłmnńoòóôprstuùwyzż",
    "Kurdish": "abcçdeêfghiîjklmnopqrsştuûvwxyz",
    "Latvian": "aābcčdeēfgģhiījkķlļmnņoprŗsštuūvzž",
    "Lithuanian": "aąbcčdeęėfghiįyjklmnoprsštuųūvzž",
    "Maltese": "aàbċdeèfġghħiìjklmnoòpqrstuùvwxżz",
    "Northern Sami": "aábcčdđefghijklmnŋoprsštŧuvzž",
    "Norwegian": "aàbcdeéèfghijklmnoóòôpqrstuvwxyzæøå",
    "Polish": "aąbcćdeęfghijklłmnńoóprsśtuwyzźż",
    "Portuguese": "aáàâãbcçdeéêfghiíjklmnoóôõpqrstuúvwxyz",
    "Romanian": "aăâbcdefghiîjklmnopqrsștțuvwxyz",
    "Romanian, of before 2003": "aăâbcdefghiîjklmnopqrsştţuvwxyz",
    "Slovak": "aáäbcčdďeéfghiíjklĺľmnňoóôpqrŕsštťuúvwxyýzž",
    "Slovene": "abcčdefghijklmnoprsštuvzž",
    "Sorbian": "abcčćdeěfghijklłmnńoópqrřŕsšśtuvwxyzžź",
    "Spanish": "aábcdeéfghiíjklmnñoópqrstuúüvwxyz",
    "Swedish": "aàbcdeéfghijklmnopqrstuvwxyzåäö",
    "Turkish": "abcçdefgğhıijklmnoöprsştuüvyz",
    "Welsh": "aáàâäbcdeéèêëfghiíìîïjlmnoóòôöprstuúùûüwẃẁŵẅyýỳŷÿ",
    "Greek": "αάβγδεέζηήθιίϊΐκλμνξοόπρσςτυύϋΰφχψωώ",
    "Russian": "абвгдеёжзийклмнопрстуфхцчшщъыьэюя",
    "Ukrainian": "абвгґдеєжзиіїйклмнопрстуфхцчшщьюя",
    "Belarusian": "абвгдеёжзійклмнопрстуўфхцчшыьэюя",
    "Serbian": "абвгдђежзијклљмнњопрстћуфхцчџш",
    "Bulgarian": "абвгдежзийѝклмнопрстуфхцчшщъьюя",
    "Macedonian": "абвгдѓежзѕијклљмнњопрстќуфхцчџш",
}


def letters_of(language: str) -> str:
    """Its small letters and its capitals, each once."""
    small = ALPHABETS[language]
    capitals = [each.upper() for each in small]  # some have none of their own, as ß
    return "".join(dict.fromkeys([*small, *(each for each in capitals if len(each) == 1)]))


#: All letters of all of them.
LETTERS = "".join(dict.fromkeys("".join(map(letters_of, ALPHABETS))))
