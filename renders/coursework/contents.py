"""What a planned lesson holds: its sounds and words, read and said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from renders.course.parts import LessonPart
from renders.course.plan import LessonPlan, LessonSound, LessonWord, lesson_sounds, plan_lesson, words_by_rule
from renders.films.pacing import playback_of
from renders.lesson_items.planned import PlannedLesson, PlannedWord
from renders.stills.still import key_time_s
from vocaltract.speech import say, say_alone
from vocaltract.words.text.transcribe import read


@dataclass(frozen=True)
class Contents:
    """Sounds and words of a lesson; of a contrast of two sounds the plan of its page."""

    sounds: tuple[LessonSound, ...]
    words: tuple[tuple[LessonWord, PlannedWord], ...]
    pair: LessonPlan | None = None

    @property
    def slugs(self) -> tuple[str, ...]:
        """Names of all parts: sounds, then words."""
        return (*(sound.slug for sound in self.sounds), *(word.slug for word, _ in self.words))


@lru_cache(maxsize=8)
def contents(lesson: PlannedLesson) -> Contents:
    """What the lesson holds. BadInput for a word that cannot be read or does not fit."""
    if (lesson.kind, len(lesson.sounds)) == ("contrast", 2):
        return _contrast(lesson)
    sounds = lesson_sounds(lesson.sounds)
    made = words_by_rule([(w.text, read(w.said)) for w in lesson.words], [sound.entry.symbol for sound in sounds])
    return Contents(sounds, tuple(zip(made, lesson.words, strict=True)))


def _contrast(lesson: PlannedLesson) -> Contents:
    a, b = lesson.sounds
    plan = plan_lesson(a, b, [word.said for word in lesson.words])
    by_said = {word.said: word for word in lesson.words}
    words = []
    for word in plan.words:
        planned = by_said.get(word.text, PlannedWord(word.text, word.text))
        words.append((replace(word, text=planned.text), planned))
    return Contents(plan.sounds, tuple(words), replace(plan, words=tuple(word for word, _ in words)))


def part(lesson: PlannedLesson, number: int) -> LessonPart:
    """A sound or word of the lesson, by its number in `Contents.slugs`, said and timed."""
    held = contents(lesson)
    if number < len(held.sounds):
        sound = held.sounds[number]
        shown = say_alone(sound.entry, lesson.speech().speaker)
        return LessonPart(sound, shown, playback_of(shown, lesson.shot), key_time_s(shown))
    word, planned = held.words[number - len(held.sounds)]
    shown = say(planned.said, lesson.speech(planned))
    span = shown.spans[word.shown[0].position]
    return LessonPart(word, shown, playback_of(shown, lesson.shot), key_time_s(replace(shown, spans=(span,))))
