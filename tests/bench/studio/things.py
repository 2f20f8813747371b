"""Hands, vehicles, animals, streets and things of the studio library, with what they show and their titles."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from demo_assets import animals, arrows, cars, hands, people, places, props
from demo_assets.pen import Pen, box
from tests.bench.studio.figures import CAST, Drawing, Drawn, _flipped


def _drawing(draw: Drawn, words: str, title: str) -> Drawing:
    return Drawing(draw, frozenset(words.split(" + ")[0].split()) | frozenset(words.split(" + ")[1:]), title)


def _turned(pen: Pen, draw: Drawn, degrees: float) -> None:
    with pen.place(turn=degrees):
        draw(pen)


def _in_hand(pen: Pen, thing: Drawn, size: float, dark: bool, up: float) -> None:
    """A hand closed round something that stands up out of it."""
    with pen.place(0, up, size):
        thing(pen)
    hands.sleeve(pen, (-4, 44), 96, 10.5, 30, dark)
    hands.grip(pen)


def _umbrella_handle(pen: Pen) -> None:
    pen.line([(0, -70), (0, 20)], 2.6)


def _broomstick(pen: Pen) -> None:
    pen.line([(-2, -80), (2, 40)], 4)


def _bottle(pen: Pen) -> None:
    pen.shape([(-6, -58, 1), (6, -58, 1), (6, -38), (13, -24), (13, 30, 1), (-13, 30, 1), (-13, -24), (-6, -38)], "white")
    pen.shape(box(-12, -12, 12, 10), "white", 0.8)


def _pencil(pen: Pen) -> None:
    pen.shape([(-3, -50, 1), (3, -50, 1), (3, 30, 1), (0, 40, 1), (-3, 30, 1)], "white")


GRIPPED = (
    ("bottle", _bottle, 1.0, -14, ("holding a bottle", "with bottle", "grips bottle")),
    ("umbrella", _umbrella_handle, 1.0, 0, ("on umbrella handle", "holding umbrella", "w/ umbrella")),
    ("broom", _broomstick, 1.0, 0, ("round a broomstick", "gripping broom", "w broom")),
    ("mug cup coffee", props.mug, 1.1, -6, ("holding a mug", "with mug of coffee", "w/ mug")),
    ("bread loaf", props.loaf, 1.2, -12, ("holding a loaf", "with bread", "w loaf")),
    ("croissant pastry", props.croissant, 1.0, -16, ("holding a croissant", "with pastry", "w croissant")),
    ("clock alarm", props.alarm_clock, 0.8, -24, ("with alarm clock", "holding a clock", "shuts off alarm")),
    ("pencil pen", _pencil, 1.0, -10, ("with pencil", "holding a pen", "draws")),
    ("ring lifebuoy", props.life_ring, 0.8, -30, ("with life ring", "holding lifebuoy", "throws the life ring")),
    ("lamp", props.street_lamp, 0.6, -30, ("holding a lamp", "with lamp", "lamp in hand")),
)  # fmt: skip


def hand_drawings() -> Iterator[Drawing]:
    """Hands with phones in all ways, at the wheel, and closed round things, left and right."""
    for app, what in (("list", "list of messages"), ("map", "map"), ("call", "incoming call"), ("picture", "photo"), ("none", "blank screen")):
        for dark in (False, True):
            flip = dark
            draw = partial(hands.hand_phone_front, app=app, dark=dark)
            side = "right hand" if flip else "left hand"
            yield _drawing(partial(_flipped, draw=draw) if flip else draw, f"hand holding phone screen front {app} + {side}",
                           f"{side.capitalize()} holding phone, {what}" if dark else f"phone in hand, {what}")  # fmt: skip
    plain = (
        (hands.hand_phone_back, "hand holding phone back view-back", ("Phone held up, seen from behind", "hand w phone, back")),
        (hands.hand_thumbs_typing, "hands thumbs typing phone n2", ("Both thumbs texting", "typing on phone, two thumbs")),
        (hands.hand_scrolling, "hands scrolling phone finger", ("Finger swipes on phone", "scrolling a feed")),
        (hands.hand_tablet, "hands holding tablet map n2", ("Tablet with route, both hands", "hands hold tablet")),
        (hands.hand_tablet_point, "hands tablet pointing tapping finger", ("Tapping on tablet", "finger on a tablet screen")),
        (hands.hand_open, "hand open palm", ("Flat palm, stop", "open hand")),
        (hands.hand_wheel, "hands wheel driving n2", ("Hands on wheel, ten to two", "driver's hands, steering wheel")),
        (hands.hand_cup, "hand holding cup coffee", ("Hand round a paper cup", "holding takeaway coffee")),
        (hands.hand_key, "hand holding key", ("Handing over a car key", "hand w key")),
        (hands.hand_loaf, "hands offering bread loaf bag n2", ("Offering bread in a bag", "hands over loaf")),
    )  # fmt: skip
    for draw, words, titles in plain:
        for flip, title in zip((False, True), titles, strict=True):
            yield _drawing(partial(_flipped, draw=draw) if flip else draw, words, title)
    for degrees, way in ((0, "right"), (180, "left"), (-90, "up"), (90, "down")):
        turned = partial(_flipped, draw=hands.hand_pointing) if way == "left" else partial(_turned, draw=hands.hand_pointing, degrees=degrees)
        yield _drawing(turned, f"hand pointing finger way-{way}", f"Pointing {way}" if way in ("up", "left") else f"hand points {way}")
    for words, thing, size, up, says in GRIPPED:
        for n, dark in enumerate((False, True, True)):
            draw = partial(_in_hand, thing=thing, size=size, dark=dark, up=up)
            yield _drawing(partial(_flipped, draw=draw) if n == 2 else draw, f"hand holding {words}", f"Hand {says[n]}")


def _hood(pen: Pen, left: int, right: int, asleep: bool) -> None:
    def passenger() -> None:
        with pen.place(-30 if asleep else -25, -2, 1, -16 if asleep else 0):
            cars._bust(pen, 0, 0, 0, 0.74, coat=CAST[left].coat, turn=0.3, look=CAST[left].look)

    def driver() -> None:
        cars._bust(pen, 25, -3, 0, 0.76, coat=CAST[right].coat, turn=-0.2, look=CAST[right].look)

    cars._through_glass(pen, passenger if left >= 0 else lambda: None, driver if right >= 0 else lambda: None)
    cars._hood(pen)


def vehicles(seed: int = 0) -> Iterator[Drawing]:
    """Vans, ferries and bicycles from all sides, and the inside of the car from every mount."""
    for draw, words, titles in (
        (cars.van_front, "van vehicle front", ("Van head-on", "delivery van from front")),
        (cars.van_profile, "van vehicle profile", ("Van side view, R", "transporter in profile, facing left")),
        (cars.van_back, "van vehicle back three-quarter", ("Van from behind, 3/4", "rear doors of van")),
        (props.ferry_profile, "ferry boat ship vehicle profile", ("Ferry broadside", "ship, side view")),
        (props.ferry_bow, "ferry boat ship vehicle front", ("Ferry bow on", "boat coming at us")),
        (props.bicycle, "bicycle vehicle profile", ("Push-bike", "bicycle, facing left")),
    ):  # fmt: skip
        for flip, title in zip((False, True), titles, strict=True):
            yield _drawing(partial(_flipped, draw=draw) if flip else draw, words, title)
    for n in (2, 3):
        for draw, one, many in ((cars.van_profile, "van vehicle profile", "vans"), (props.bicycle, "bicycle vehicle profile", "bicycles")):
            yield _drawing(partial(_row, draw=draw, many=n, gap=140), f"{one} n{n} several", f"{('', '', 'Two', 'Three')[n]} {many} in a row")
    for right in range(len(CAST)):
        if "child" in CAST[right].words:
            continue
        for left in (-1, (right + 5 + seed) % 12, (right + 7 + seed) % 12):
            asleep = left == (right + 7 + seed) % 12
            yield _hood_drawing(left, right, asleep)
    yield _drawing(partial(_hood, left=-1, right=-1, asleep=False), "car interior hood-mount empty", "Hood mount, empty car")
    for draw, words, titles in (
        (cars.drivers_side, "car interior driver man driving profile side-mount n1 person", ("Side mount, driver in profile", "driver through side window")),
        (cars.back_seat, "car interior back-seat two-shot n2 person several woman", ("Back seat two-shot", "passengers in the back")),
        (cars.over_shoulder_drive, "car interior ots driver road driving back", ("OTS driver onto road", "over driver's shoulder, road ahead")),
        (cars.dash_phone, "car interior dashboard phone", ("Dash w/ phone in holder", "sat nav on dashboard")),
        (cars.mirror_eyes, "car interior mirror eyes woman", ("Rear-view mirror, her eyes", "eyes in mirror ECU")),
    ):  # fmt: skip
        for flip, title in zip((False, True), titles, strict=True):
            yield _drawing(partial(_flipped, draw=draw) if flip else draw, words, title)


def _hood_drawing(left: int, right: int, asleep: bool) -> Drawing:
    who = CAST[right]
    words = f"car interior hood-mount driver driving person {who.words}"
    if left < 0:
        return _drawing(partial(_hood, left=left, right=right, asleep=False), f"{words} n1 single", f"Hood mount, {who.name} at the wheel")
    other = CAST[left]
    draw = partial(_hood, left=left, right=right, asleep=asleep)
    words = f"{words} passenger two-shot n2 several {other.words}"
    if asleep:
        return _drawing(draw, f"{words} asleep sleeping", f"{who.name.capitalize()} drives, {other.name} asleep, hood mount")
    return _drawing(draw, words, f"Hood mount 2-shot {who.name} + {other.name}")


def _row(pen: Pen, draw: Drawn, many: int, gap: float) -> None:
    for k in range(many):
        with pen.place((k - (many - 1) / 2) * gap * 0.5, (k % 2) * 6, 0.5):
            draw(pen)


def creatures() -> Iterator[Drawing]:
    """Dogs and gulls: one, two and three of them, both ways round."""
    for draw, words, says in (
        (animals.dog_sitting, "sitting", "sitting"), (animals.dog_walking, "walking", "walking"), (animals.dog_back, "sitting back view-back", "from behind"),
        (animals.dog_lying, "lying", "lying"),
    ):  # fmt: skip
        for many in (1, 2, 3, 4):
            for flip in (False, True):
                one = partial(_row, draw=draw, many=many, gap=130)
                way = "to the left" if flip and many != 2 else ""
                title = f"{('', 'Dog', 'Two dogs', '3 dogs', 'Pack of four dogs')[many]} {says} {way}".strip()
                direction = " + right to left" if flip else " + left to right"
                yield _drawing(partial(_flipped, draw=one) if flip else one, f"dog animal n{many} {words}{direction}", title)
    for many, title in ((1, "Seagull"), (2, "Pair of gulls"), (3, "Three gulls"), (5, "flock of gulls, five"), (1, "gull flying to the right")):
        one = partial(_row, draw=props.gull, many=many, gap=110)
        flip = title.endswith("right")
        yield _drawing(partial(_flipped, draw=one) if flip else one, f"gull bird animal flying n{many}", title)


def _street(pen: Pen, back: Drawn, front: Drawn | None, size: float, x: float, y: float) -> None:
    back(pen)
    if front is not None:
        with pen.place(x, y, size):
            front(pen)


def streets() -> Iterator[Drawing]:
    """Shop fronts, the quay and houses, empty, with somebody, with a vehicle."""
    backs = (
        (places.bakery_night, "bakery shop night exterior", "bakery at night"), (places.shop_row, "street shops exterior", "row of shops"),
        (places.bakery_door, "bakery door exterior", "bakery door"), (places.quay_edge, "quay harbour exterior", "quay"),
        (places.ferry_shelter, "shelter exterior waiting several person", "ferry shelter"), (places.apartment_windows, "house windows exterior apartment", "apartment windows"),
        (places.sign_post, "sign post exterior", "signpost"),
    )  # fmt: skip
    for back, words, says in backs:
        people_in = "person" in words
        yield _drawing(back, words if people_in else f"{words} empty", says.capitalize() if people_in else f"{says.capitalize()}, nobody about")
        if people_in:
            continue
        yield _drawing(partial(_street, back=back, front=people.woman_walking, size=0.5, x=-18, y=30), f"{words} person woman walking n1",
                       f"Woman walks past {says}")  # fmt: skip
        yield _drawing(partial(_street, back=back, front=animals.dog_sitting, size=0.5, x=26, y=40), f"{words} dog animal sitting n1 empty",
                       f"{says.capitalize()}, dog waits outside")  # fmt: skip
        yield _drawing(partial(_street, back=back, front=cars.van_profile, size=0.5, x=0, y=36), f"{words} van vehicle empty",
                       f"Van parked in front of {says}")  # fmt: skip
        yield _drawing(partial(_street, back=back, front=partial(people.crowd, rows=(4, 4)), size=0.5, x=0, y=30), f"{words} crowd person several",
                       f"{says.capitalize()} with crowd")  # fmt: skip


THINGS = (
    (props.laptop_front, "laptop front", ("Laptop, front", "open notebook computer")), (props.laptop_three_quarter, "laptop three-quarter", ("Laptop 3/4 view", "computer at an angle")),
    (props.laptop_back, "laptop back view-back", ("Laptop, back of lid", "computer from behind")), (props.laptop_closed, "laptop closed", ("Closed laptop", "laptop shut")),
    (props.coffee_cup, "cup coffee", ("Takeaway cup, steaming", "hot coffee")), (props.mug, "mug cup coffee", ("Mug", "steaming mug of tea")),
    (props.loaf, "bread loaf", ("Loaf of bread", "bread, one")), (props.croissant, "croissant pastry", ("Croissant", "pastry")),
    (props.bread_basket, "bread basket", ("Bread basket", "baguettes in a basket")), (props.bread_crate, "bread crate", ("Crate of bread", "bread crate, single")),
    (props.bread_crates, "bread crate several", ("Stacked crates", "bread crates, pile")), (props.alarm_clock, "clock alarm", ("Alarm clock", "clock, ten past ten")),
    (props.suitcase, "suitcase luggage", ("Wheeled suitcase", "trolley case")), (props.umbrella, "umbrella", ("Umbrella, open", "brolly")),
    (props.street_lamp, "lamp street", ("Street lamp", "lamp post")), (props.bollard_rope, "bollard rope harbour", ("Bollard", "mooring bollard with rope")),
    (props.life_ring, "ring lifebuoy", ("Life ring", "lifebelt")), (props.gangway, "gangway harbour", ("Gangway", "boarding ramp")), (props.bench, "bench empty", ("Park bench", "empty bench")),
    (props.ticket_machine, "machine ticket", ("Ticket machine", "ticket vending machine")), (props.satchel, "bag satchel", ("Satchel", "shoulder bag")),
)  # fmt: skip

ARROWS = (
    (arrows.push_in, "push-in", "Camera pushes in"), (arrows.pull_out, "pull-out", "camera pull out"), (arrows.pan_right, "pan way-right", "Pan right"),
    (arrows.pan_left, "pan way-left", "Pan left"), (arrows.tilt_up, "tilt way-up", "Tilt up"), (arrows.track, "track dolly", "Tracking shot, dolly on rails"),
    (arrows.crane_up, "crane way-up", "Crane up"), (arrows.zoom_dashed, "zoom", "Zoom"), (arrows.actor_walks, "actor-move walks", "Actor walks in"),
    (arrows.actor_turns, "actor-move turns", "actor turns round"), (arrows.actor_exits, "actor-move exits", "Actor exits frame left"),
    (arrows.van_drives, "vehicle-move", "vehicle drives off, arrow"), (arrows.handheld, "handheld", "Handheld"),
)  # fmt: skip


def objects() -> Iterator[Drawing]:
    """Single things both ways round, two and three of them, and the arrows that boards are marked with."""
    for draw, words, titles in THINGS:
        for flip, title in zip((False, True), titles, strict=True):
            yield _drawing(partial(_flipped, draw=draw) if flip else draw, f"{words} object n1", title)
        if "several" not in words:
            plain = titles[0].split(",")[0].lower()
            yield _drawing(partial(_row, draw=draw, many=3, gap=110), f"{words} object n3", f"Three times {plain}")
    for draw, words, title in ARROWS:
        yield _drawing(draw, f"arrow {words}", title)
