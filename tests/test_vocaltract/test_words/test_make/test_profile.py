"""One speaker: words that the dictionary says in several ways, as general dictionaries have them (Merriam-Webster;
Wells, Longman Pronunciation Dictionary, American forms; from memory); ə or ɪ by the rules of data/profile.toml."""

from __future__ import annotations

import pytest

from vocaltract.words.lexicon import dictionary
from vocaltract.words.lexicon.dictionary import broad, lookup
from vocaltract.words.make.profile import profiled

FIRST = """
cot kɑt; caught kɔt; bought bɔt; taught tɔt; want wɑnt; wanted ˈwɑntɪd; coffee ˈkɔfi; office ˈɔfɪs; hall hɔl; dog dɔɡ
frog fɹɔɡ
needed ˈnidɪd; started ˈstɑɹtɪd; places ˈpleɪsɪz; changes ˈtʃeɪndʒɪz; receive ɹɪˈsiv; return ɹɪˈtɝn; report ɹɪˈpɔɹt
restart ɹiˈstɑɹt; prepare pɹɪˈpɛɹ; here hɪɹ; near nɪɹ; tier tɪɹ; beer bɪɹ; bier bɪɹ; seer sɪɹ; sear sɪɹ; poor pʊɹ
arrive əˈɹaɪv; around əˈɹaʊnd; direct dɪˈɹɛkt; correct kəˈɹɛkt; garage ɡəˈɹɑʒ; imagine ɪˈmædʒən
unable ˌʌˈneɪbəl; until ənˈtɪl
ticket ˈtɪkət; market ˈmɑɹkət; message ˈmɛsɪdʒ; luggage ˈlʌɡɪdʒ; service ˈsɝvɪs; surface ˈsɝfɪs; comfortable ˈkʌmftɚbəl
arithmetic əˈɹɪθməˌtɪk; atheism ˈeɪθiˌɪzəm; thirteen ˌθɝˈtin; fourteen ˌfɔɹˈtin; sixteen ˌsɪksˈtin
usual ˈjuʒuəl; every ˈɛvɹi
"""


@pytest.mark.parametrize("row", [row.strip() for line in FIRST.splitlines() for row in line.split(";") if row.strip()])
def test_first_pronunciation(row: str) -> None:
    word, said = row.split()
    assert broad(lookup(word)[0]) == said


def test_what_was_not_chosen_can_be_asked_for() -> None:
    assert [broad(said) for said in lookup("wanted")] == ["ˈwɑntɪd", "ˈwɔntɪd"]


def test_a_word_has_one_main_stress_and_no_beat_right_before_it() -> None:
    assert profiled("downtown", ["D AW1 N T AW1 N"]) == ("D AW2 N T AW1 N",)
    assert profiled("important", ["IH2 M P AO1 R T AH0 N T"]) == ("IH0 M P AO1 R T AH0 N T",)
    assert profiled("potato", ["P AH0 T EY1 T OW2"]) == ("P AH0 T EY1 T OW0",)


def test_our_own_tables_are_said_by_the_same_speaker() -> None:
    for table in (dictionary.corrections(), dictionary.homographs()):
        for row in table:
            if "#" not in row.pronunciation:
                assert profiled(row.word, [row.pronunciation])[0] == row.pronunciation, row
