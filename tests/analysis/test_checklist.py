from tarebook.analysis.display.checklist import Checklist, Sheet, Task
from tarebook.analysis.display.markup import clean
from tarebook.analysis.display.sections import Opening, Point, Section

NAME = "</script><img src=x onerror=alert(1)> \u202e{{7*7}}"


def test_a_task_has_a_box_and_its_name_stays_text() -> None:
    html = Checklist("Mend", (Task(NAME, NAME), Task("Pump"))).html()
    assert html.count('<input type="checkbox"') == 2
    assert "<img" not in html
    assert "\u202e" not in html
    assert html.count("&lt;img") == 2
    assert html.count('class="about"') == 1


def test_a_fold_of_few_things_names_them() -> None:
    tasks = tuple(Task(each) for each in ("Plasters", "Balm <b>", "Tick remover", "Gauze"))
    few = Checklist("Check", tasks[:3], folds=True, names_few=True).html()
    assert "<span>“Plasters”, “Balm &lt;b&gt;” and “Tick remover”</span></summary>" in few
    for each in (tasks, (Task("Plasters and gauze, balm", things=4),)):
        listed = Checklist("Check", each, folds=True, names_few=True).html()
        assert "<span>4 things</span></summary>" in listed
    both = Checklist("Check", tasks[:2], folds=True).html()
    assert "<span>2 things</span></summary>" in both


def test_an_empty_list_shows_nothing() -> None:
    assert Checklist("Mend", ()).html() == ""
    assert Checklist("Mend", ()).text() == ""


def test_a_section_tells_its_lists_in_plain_text_too() -> None:
    section = Section("Next", ("One thing.",), more=(Checklist("Mend", (Task("Pump", "leaks"),)),))
    assert section.text() == "Next\n\nOne thing.\nMend\n[ ] Pump leaks"


def test_a_sheet_is_folded_lists_with_their_caution_on_paper() -> None:
    lists = (Checklist("Leave", (Task("Saw"),)), Checklist("Check", (Task("Pump"),)))
    sheet = Sheet(f"By bike {NAME}", lists, f"Beware. {NAME}")
    html = sheet.html()
    assert html.startswith('<details class="tarebook-fold sheet"><summary>By bike ')
    assert '<p class="on-paper">Take care. Beware.' in html
    assert "<img" not in html
    assert (
        Sheet("By boat", lists, shown=True)
        .html()
        .startswith('<details class="tarebook-fold sheet" open>')
    )
    assert Sheet("On foot", (Checklist("Leave", ()),)).html() == ""
    section = Section("Pack", ("By bike.",), more=(Sheet("By bike", lists),))
    assert section.text() == "Pack\n\nBy bike.\nBy bike\nLeave\n[ ] Saw\nCheck\n[ ] Pump"


def test_an_opening_answers_before_it_warns() -> None:
    opening = Opening("Trip", ("1 night",), ("Beware.",), (Point("Base", "4 kg.", "Light."),))
    html = opening.html()
    assert html.index("4 kg.") < html.index("Beware.")
    assert opening.text() == "Trip\n1 night\nBase: 4 kg. Light.\nBeware."
    careful = Opening("Trip", (), ("A note.",), (Point("Base", "4 kg."),), caution=NAME)
    shown = careful.html()
    box = shown.index('<aside class="caution" role="note"><strong>Take care.</strong> ')
    assert shown.index("4 kg.") < box < shown.index('<ul class="notices">')
    assert "<img" not in shown
    assert careful.text().splitlines()[1:3] == ["Base: 4 kg.", f"Take care. {clean(NAME)}"]
    assert careful.text().endswith("A note.")
    assert "caution" not in html
    assert "<img" not in Opening("T", points=(Point(NAME, NAME, NAME),)).html()


def test_a_list_that_folds_begins_as_its_heading_and_stands_open_without_scripting() -> None:
    tasks = (Task("Look", things=2), Task(NAME))
    html = Checklist(NAME, tasks, part=1, folds=True).html()
    assert html.startswith('<details class="to-open" open><summary><h3>')
    assert "<span>3 things</span></summary>" in html
    assert html.count("<h3") == 3  # in the line to open, on paper, continued
    assert "<img" not in html
    assert "<details" not in Checklist(NAME, tasks).html()
    assert Checklist(NAME, (), folds=True).html() == ""


def test_a_list_is_said_again_once_until_it_is_very_long() -> None:
    """Two parts of it may stand in one column, and three would have the heading there twice."""
    for many, again in ((12, 0), (13, 1), (30, 1), (48, 1), (60, 4)):
        tasks = tuple(Task(f"thing {n}") for n in range(many))
        html = Checklist("Handlebar bag: 2.31 kg", tasks, part=12).html()
        assert html.count("Handlebar bag, continued") == again
        assert html.count("<li>") == many
