"""The shared words held against themselves: sets of points that exist, fields that go together."""

from __future__ import annotations

from engine.loader.building import Building, Mention, Role, offer
from engine.loader.wording import listed, shown
from engine.vocabulary import Field, Vocabulary


def check_vocabulary(file: Building, vocabulary: Vocabulary) -> None:
    """Keep a problem for every word of a vocabulary that names nothing.

    ``vocabulary`` holds the words of every vocabulary together.
    """
    for name, by_phases in vocabulary.sets.items():
        for phases, points in by_phases.items():
            for at, point in enumerate(points):
                path = ("sets", name, phases, at)
                if point not in vocabulary.points and path in file.document.marks:
                    file.unknown("point", point, vocabulary.points, path)
    for mention in file.mentions:
        _mention(file, vocabulary, mention)


def _mention(file: Building, vocabulary: Vocabulary, mention: Mention) -> None:
    fields = vocabulary.fields
    if mention.role is Role.FIELD and mention.word not in fields:
        sentence = f"There is no nameplate field {shown(mention.word)}."
        file.say("unknown-name", mention.path, sentence, offer(mention.word, fields))
    elif mention.role is Role.STEP:
        sentence = "The vocabulary has no steps; a tree may ask the field itself and name one."
        file.say("unknown-step", mention.path, sentence, "Write if unreadable: default.")
    elif mention.role is Role.WORD and mention.of in fields:
        _word(file, mention, fields[mention.of])


def _word(file: Building, mention: Mention, field: Field) -> None:
    if mention.word not in field.words:
        sentence = f"{field.name} is never answered with {shown(mention.word)}."
        fix = offer(mention.word, field.words, f"It is {listed(field.words)}.")
        file.say("unknown-word", mention.path, sentence, fix, mention.column)
