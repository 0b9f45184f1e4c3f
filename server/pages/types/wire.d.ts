// The wire's types for the pages, generated from `protocol` by ts-rs. Do not edit:
// HANDROUND_UPDATE=1 cargo test -p handround-protocol --test declarations

/**
 * Sounds that are one for some children of the class, so that no deck asks to tell them apart. By
 * default whatever some accent of the United States hears as one is kept out of one deck.
 */
export type Accent = {
/**
 * `pin` and `pen` sound alike: short e before m and n is short i (southern United States).
 */
pin_is_pen: boolean,
/**
 * `cot` and `caught` sound alike (western United States, nearly all of Canada).
 */
cot_is_caught: boolean, };

/**
 * Whom the teacher lets in herself.
 */
export type Admit = "Nobody" | "FromHome" | "Everybody";

/**
 * Ages a set of defaults is meant for.
 */
export type AgeBand = "FiveToSix" | "SixToSeven" | "SevenToEight";

/**
 * A device's own count of what it asked, echoed in a refusal. Free choice of the device.
 */
export type Ask = number;

/**
 * Why a table needs the teacher.
 */
export type Attention = { "HelpAsked": {
/**
 * Who.
 */
seat: SeatIndex,
/**
 * For how many seconds.
 */
seconds: number, } } | { "WaitsFor": {
/**
 * For whom.
 */
seat: SeatIndex,
/**
 * For how many seconds.
 */
seconds: number, } } | { "LinkLost": {
/**
 * Whose.
 */
seat: SeatIndex, } } | { "FalseGrabs": {
/**
 * Whose.
 */
seat: SeatIndex,
/**
 * How many.
 */
count: number, } } | { "OnBreak": {
/**
 * Who.
 */
seat: SeatIndex, } };

/**
 * What a teacher can do from her board.
 */
export type BoardSays = { "Start": {
/**
 * One table, or all.
 */
table: TableId | null, } } | { "Pause": {
/**
 * One table, or all.
 */
table: TableId | null, } } | { "Resume": {
/**
 * One table, or all.
 */
table: TableId | null, } } | { "End": {
/**
 * One table, or all.
 */
table: TableId | null, } } | { "Plan": LessonPlan } | { "Open": {
/**
 * Whether children may join.
 */
open: boolean, } } | { "FreePlace": {
/**
 * The pupil.
 */
pupil: PupilIndex, } } | "EndLesson" | { "Nudge": {
/**
 * The table.
 */
table: TableId,
/**
 * The seat.
 */
seat: SeatIndex, } } | { "HelpGiven": {
/**
 * The table.
 */
table: TableId,
/**
 * The seat.
 */
seat: SeatIndex, } } | { "HandOver": {
/**
 * The table.
 */
table: TableId,
/**
 * The seat.
 */
seat: SeatIndex,
/**
 * Whether the partner plays.
 */
partner: boolean, } } | { "Bell": {
/**
 * One table, or all.
 */
table: TableId | null,
/**
 * Whether it rings.
 */
ring: boolean, } } | { "ShowRace": {
/**
 * The table.
 */
table: TableId, } } | { "Support": {
/**
 * The pupil.
 */
pupil: PupilIndex,
/**
 * The whole of it.
 */
support: Support, } } | { "MovePupil": {
/**
 * The pupil.
 */
pupil: PupilIndex,
/**
 * Where to; `None` for a child that leaves.
 */
table: TableId | null, } } | { "AddPupil": {
/**
 * The nickname.
 */
name: string,
/**
 * Where the child sits.
 */
table: TableId, } } | { "Wall": WallSays };

/**
 * What only the teacher sees of a seat. Hands are not part of it.
 */
export type BoardSeat = {
/**
 * The pupil, or `None` for a practice partner.
 */
pupil: PupilIndex | null,
/**
 * A device is connected and its page is in view.
 */
here: boolean,
/**
 * A practice partner plays the hand until the child is back.
 */
stand_in: boolean,
/**
 * Seconds that a card has been waiting for this seat; 0 if none.
 */
waiting_s: number,
/**
 * False grabs in this game, excited taps left out.
 */
false_grabs: number,
/**
 * How well its device is reached; `None` for a practice partner.
 */
link: LinkQuality | null,
/**
 * What the child asked for, and who plays its cards by the teacher's word.
 */
care: CareView,
/**
 * Seconds since the child raised its hand; 0 if it has not.
 */
help_s: number,
/**
 * What the teacher gave this child; `None` for a practice partner. Nobody else sees it.
 */
support: Support | null, };

/**
 * One table on the board.
 */
export type BoardTable = {
/**
 * The table.
 */
table: TableId,
/**
 * Such as `Table 1`.
 */
name: string,
/**
 * The deck in play.
 */
deck: DeckId,
/**
 * Its name.
 */
deck_name: string,
/**
 * The public part.
 */
view: TableView,
/**
 * What only the teacher sees of each seat, in the order of play.
 */
seats: Array<BoardSeat>,
/**
 * Tokens still in the middle, also during a race.
 */
tokens_left: number,
/**
 * The last race in one plain sentence; empty before the first.
 */
last_race: string,
/**
 * Winners of the game that has just ended, else empty.
 */
winners: Array<SeatIndex>,
/**
 * The bell has rung: the game ends with this round.
 */
bell: boolean,
/**
 * Decisions about cards a minute, over the last two minutes.
 */
moves_a_minute: number,
/**
 * What the teacher should look at, most urgent first; empty if the table needs nothing.
 */
attention: Array<Attention>,
/**
 * The first of these holds a child up just now.
 */
urgent: boolean, };

/**
 * The teacher's board: every table at a glance. Sent whole, a few times a second at the most.
 */
export type BoardView = {
/**
 * The lesson.
 */
lesson: LessonId,
/**
 * Its name.
 */
name: string,
/**
 * Whether children may join now.
 */
open: boolean,
/**
 * The row of pictures to tap.
 */
row: Array<Picture>,
/**
 * The children's address.
 */
join_url: string,
/**
 * The QR code of that address as one `<svg>` element.
 */
join_qr_svg: string,
/**
 * The wall display's address.
 */
wall_url: string,
/**
 * How the next game will be played.
 */
plan: LessonPlan,
/**
 * What the deck of the next game is called.
 */
next_deck: string,
/**
 * Tables that play their next game with a deck of their own.
 */
table_decks: Array<TableDeck>,
/**
 * One plain sentence on how the class was seated.
 */
seating: string,
/**
 * The tables, in the lesson's order.
 */
tables: Array<BoardTable>,
/**
 * The same tables, the one that needs the teacher most first.
 */
by_need: Array<TableId>,
/**
 * Children who sit nowhere: they left, or have not been given a place.
 */
unseated: Array<PupilLine>,
/**
 * Children who change their table as soon as it is between rounds.
 */
moving: Array<PupilMoving>,
/**
 * Children who sit with practice partners alone, while another table has room.
 */
alone: Array<PupilLine>,
/**
 * Where a late-comer would disturb least; `None` if no table has room.
 */
late_table: TableId | null,
/**
 * What the wall shows at her wish.
 */
wall_shows: WallShows, };

/**
 * One card in one deal. Drawn afresh each deal; encodes nothing.
 */
export type CardId = string;

/**
 * Names a card within its skill: `TenFrame 7`, `Picture cat`. Stored like a group's name.
 */
export type CardKey = string;

/**
 * A card of a deck.
 */
export type CardPreview = {
/**
 * The card.
 */
key: CardKey,
/**
 * Its drawing: one `<svg>` element as on a face sheet.
 */
svg: string,
/**
 * What it shows, in words.
 */
label: string,
/**
 * The helper that is drawn in: of those asked for, the first that the card has.
 */
helper: Helper | null, };

/**
 * A card that this seat may see, with its id of this deal.
 */
export type CardView = {
/**
 * Names the card in moves.
 */
id: CardId,
/**
 * What it shows.
 */
face: FaceIndex,
/**
 * Support for this seat's child alone; never part of the card.
 */
helper: Helper | null, };

/**
 * The quiet side of a seat: between this child and the teacher alone.
 */
export type CareView = {
/**
 * The child has raised a hand; only the teacher's board shows it.
 */
help_asked: boolean,
/**
 * The child takes a break; a practice partner plays until it comes back.
 */
on_break: boolean,
/**
 * The teacher gave the seat to a practice partner, until she gives it back.
 */
partner_holds: boolean, };

/**
 * A picture that was sent.
 */
export type Cheer = {
/**
 * By whom.
 */
seat: SeatIndex,
/**
 * Which.
 */
picture: CheerPicture, };

/**
 * A kind picture; all are drawn by us, and none is better than another.
 */
export type CheerPicture = "Sun" | "Flower" | "Clap";

/**
 * One class that the server keeps.
 */
export type ClassId = string;

/**
 * A kept class: one line of `GET /classes`.
 */
export type ClassLine = {
/**
 * The class.
 */
class: ClassId,
/**
 * Its name.
 */
name: string,
/**
 * Pupils on its list.
 */
pupils: number,
/**
 * When the server forgets it by itself, in microseconds since the Unix epoch; a lesson made
 * from it moves this on.
 */
kept_until: Micros, };

/**
 * One child of a kept class.
 */
export type ClassPupil = {
/**
 * The nickname.
 */
name: string,
/**
 * The picture.
 */
picture: Picture,
/**
 * The child plays at home.
 */
at_home: boolean, };

/**
 * A kept class as the teacher's page shows it: `GET /classes/{class}`.
 */
export type ClassTold = {
/**
 * The class.
 */
class: ClassId,
/**
 * Its name.
 */
name: string,
/**
 * In the order of the list.
 */
pupils: Array<ClassPupil>,
/**
 * For how many of them the list says how ready they are.
 */
with_readiness: number,
/**
 * How many pairs are to be kept apart.
 */
pairs_apart: number,
/**
 * As in `ClassLine`.
 */
kept_until: Micros, };

/**
 * A close code with its meaning. 1000 to 1015 are from RFC 6455 section 7.4.1 and the registry it
 * founds; 4000 and up are ours, in the range that RFC 6455 section 7.4.2 leaves to applications.
 */
export type Close = "GoingAway" | "WrongFrameKind" | "Malformed" | "TooFrequent" | "TooLarge" | "TableStopped" | "HelloExpected" | "UnknownCredential" | "NotAllowed" | "NewerDevice" | "TooSlow" | "LessonOver" | "Moved";

/**
 * What a deck does with pairs that children take for each other, such as b and d or 12 and 21.
 */
export type Confusables = "Avoid" | "Allow" | "Target";

/**
 * What lets a device in.
 */
export type Credential = { "Seat": Token } | { "Board": LessonId } | { "Wall": Token } | { "Substitute": Token };

/**
 * One deck; its face sheet never changes, so pages may cache it.
 */
export type DeckId = string;

/**
 * How long rounds and games will be, by simulation.
 */
export type DeckLength = {
/**
 * What to expect, at which pace, in sentences.
 */
sentences: Array<string>,
/**
 * The number of groups that would make a better round; `None` if this one is good.
 */
groups: number | null, };

/**
 * What a deck should be like: the part of a lesson's plan that makes its cards, and all that is kept
 * of a deck under its name.
 */
export type DeckPlan = {
/**
 * Ages, which decide how numbers are shown.
 */
ages: AgeBand,
/**
 * What it practises.
 */
skill: Skill,
/**
 * What it does with pairs that children take for each other.
 */
confusables: Confusables,
/**
 * Smallest number of a deck of numbers.
 */
number_min: number,
/**
 * Largest number of a deck of numbers.
 */
number_max: number,
/**
 * Match groups in play.
 */
groups: number,
/**
 * Wishes beyond that.
 */
wishes: DeckWishes,
/**
 * Sounds that are one for some of the class.
 */
accent: Accent,
/**
 * Switches of single skills.
 */
switches: Switches, };

/**
 * How a deck would look.
 */
export type DeckPreview = {
/**
 * Its name on screen.
 */
name: string,
/**
 * The deck with everything kept that is shown, so that it comes out the same again.
 */
deck: DeckPlan,
/**
 * Its match groups.
 */
groups: Array<GroupPreview>,
/**
 * Every group that could be in such a deck.
 */
choices: Array<GroupChoice>,
/**
 * Most groups that such a deck can have.
 */
groups_max: number,
/**
 * Every kind of face that such a deck could show, those left out among them.
 */
kinds: Array<KindChoice>,
/**
 * Largest table that the deck serves; 0 if none.
 */
largest_table: number,
/**
 * How hard it is, and what to know about it, in sentences.
 */
notes: Array<string>, };

/**
 * A teacher's wishes; without any, the deck comes as chance has it.
 */
export type DeckWishes = {
/**
 * Kinds of face that no card shows.
 */
kinds_out: Array<FaceKind>,
/**
 * Groups that the deck has in any case.
 */
groups_in: Array<GroupKey>,
/**
 * Groups that it does not have.
 */
groups_out: Array<GroupKey>,
/**
 * Cards that their groups show in any case.
 */
cards_in: Array<CardKey>,
/**
 * Cards that they do not show.
 */
cards_out: Array<CardKey>, };

/**
 * A place card or a home link was opened: `POST /join/card`.
 */
export type DoorCard = {
/**
 * The code behind the address's `#`, which browsers send to nobody by themselves.
 */
code: Token,
/**
 * The secret of the place that this device holds already, if any: it is never asked about.
 */
held: Token | null, };

/**
 * A child, and the ways to its place.
 */
export type DoorChild = {
/**
 * The line in the class list.
 */
pupil: PupilIndex,
/**
 * The nickname.
 */
name: string,
/**
 * The picture.
 */
picture: Picture,
/**
 * A device holds the place.
 */
taken: boolean,
/**
 * It sat down moments ago, so that a wrong tap can still be undone by the child.
 */
fresh: boolean,
/**
 * It plays on a shared device.
 */
shared: boolean,
/**
 * The number of the tablet that is kept for it.
 */
tablet: number | null,
/**
 * It sits at a tablet of the cart that could be kept for it.
 */
tablet_here: boolean,
/**
 * The link for a child at home; `None` before links were made. A late-comer's leads there for as
 * long as this lesson goes on.
 */
home_url: string | null,
/**
 * The class list says that it plays at home.
 */
at_home: boolean, };

/**
 * A child tapped the own picture, on a page that can wait: `POST /join/ask`.
 */
export type DoorPick = {
/**
 * From `JoinPlaces`.
 */
ticket: Token,
/**
 * The own line.
 */
pupil: PupilIndex,
/**
 * The secret of this tablet, if it is one of the cart's.
 */
tablet: Token | null, };

/**
 * What a teacher wishes of the door: `POST /lessons/{id}/door`; answered with the new `DoorView`.
 */
export type DoorSays = { "Admit": Admit } | { "Answer": {
/**
 * Which.
 */
number: number,
/**
 * In or not.
 */
admit: boolean, } } | { "Free": PupilIndex } | { "KeepTablet": PupilIndex } | { "ForgetTablet": number } | { "Revoke": PupilIndex | null };

/**
 * A tablet of the cart asks whose it is, or sits down: `POST /join/tablet`.
 */
export type DoorTablet = {
/**
 * The secret of this tablet.
 */
tablet: Token,
/**
 * Takes the place; otherwise it is only asked for.
 */
sit: boolean,
/**
 * The secret of the place that this device holds already, if any: it is never asked about.
 */
held: Token | null, };

/**
 * It was the wrong picture: `POST /join/undo`, within 10 s.
 */
export type DoorUndo = {
/**
 * The seat's secret.
 */
token: Token, };

/**
 * What a teacher sees of the door: `GET /lessons/{id}/door`.
 */
export type DoorView = {
/**
 * Whom she lets in herself.
 */
admit: Admit,
/**
 * Who waits for her answer, oldest first.
 */
waiting: Array<DoorWaiting>,
/**
 * All children of the lesson that have a seat.
 */
children: Array<DoorChild>,
/**
 * The lesson's class is kept, so that cards, links and tablets are possible.
 */
kept: boolean,
/**
 * Whose names paper leaves a line for, in a sentence; `None` if it shows all of them.
 */
by_hand: string | null, };

/**
 * The teacher answers first, with status 202: ask for it with `POST /join/wait`.
 */
export type DoorWait = {
/**
 * Names the one who waits; also the whole body of `POST /join/wait`.
 */
wait: Token,
/**
 * The nickname.
 */
name: string,
/**
 * The picture.
 */
picture: Picture | null, };

/**
 * A device that waits.
 */
export type DoorWaiting = {
/**
 * Names it in her answer.
 */
number: number,
/**
 * The child whose place it wants.
 */
pupil: PupilIndex,
/**
 * The nickname.
 */
name: string,
/**
 * The picture.
 */
picture: Picture,
/**
 * How it came.
 */
way: Way,
/**
 * Another device holds the place.
 */
second: boolean, };

/**
 * One face of a deck as every device draws it.
 */
export type Face = {
/**
 * What kind of picture it is.
 */
kind: FaceKind,
/**
 * The match group it belongs to.
 */
group: GroupIndex,
/**
 * The drawing: one `<svg>` element of viewBox 0 0 250 350 without script, style or links.
 */
svg: string,
/**
 * What a screen reader says during play. Names the kind, never the value.
 */
label: string,
/**
 * What is said after the round, with the value: `ten frame, seven`.
 */
label_after: string, };

/**
 * A face in its deck's face sheet, counted from 0. Its position tells nothing of its group.
 */
export type FaceIndex = number;

/**
 * The kind of picture on a card. Only appended to, since journals and reports name kinds.
 */
export type FaceKind = "Numeral" | "NumberWord" | "TenFrame" | "Tally" | "Dots" | "Fingers" | "TenAndOnes" | "Blocks" | "ExpandedForm" | "PlaceNames" | "Addition" | "Subtraction" | "DotParts" | "NumberBond" | "FrameParts" | "NumberPath" | "MoreOrLess" | "Array" | "EqualGroups" | "RowWords" | "Capital" | "SmallLetter" | "BookLetter" | "BookCapital" | "Picture" | "Word" | "WordCapitals" | "WordFirstCapital" | "WordBook" | "SoundBoxes" | "ClockRound" | "ClockSquare" | "DigitalTime" | "TimeWords" | "Coins" | "CentSign" | "DollarSign" | "MoneyWords" | "Shape" | "ShapeName" | "ShapeThing" | "Shares" | "ShareWords" | "LetterTeam" | "Claps" | "PictureParts" | "WordParts" | "ShortForm" | "ShortFormCapitals" | "LongForm" | "LongFormCapitals" | "Solid" | "SolidName" | "SolidThing" | "Emoji" | "OtherPicture";

/**
 * All faces of one deck, loaded over HTTP before the first deal.
 */
export type FaceSheet = {
/**
 * The deck.
 */
deck: DeckId,
/**
 * Its name on screen, such as `Numbers 1 to 8`.
 */
name: string,
/**
 * The faces; a `FaceIndex` points here.
 */
faces: Array<Face>,
/**
 * Faces drawn with a helper, for a card that a view shows with one. Everybody loads all of
 * them, so that loading tells nothing of who has which.
 */
with_helper: Array<HelpedFace>,
/**
 * The pictures with their words, each once, for naming them before the first deal. They are
 * public then and say nothing of any hand.
 */
naming: Array<NamedPicture>, };

/**
 * How long a child waits after a false grab before the next tap counts; a real cue is always
 * answered.
 */
export type FalseGrabCost = "ShortWait" | "LongWait";

/**
 * A game at a table, counted from 1; a rematch is the next game.
 */
export type GameNumber = number;

/**
 * A tap on a token, with the device's own times. A claim, never taken at its word.
 */
export type Grab = {
/**
 * The cue on this screen, if there was one.
 */
cue: GrabCue | null,
/**
 * The device's clock at the tap: `event.timeStamp` of the pointer or key.
 */
tap: Micros,
/**
 * Which token was tapped, counted from 0; for the record only, all tokens are alike.
 */
token: number, };

/**
 * The cue that a grab answers.
 */
export type GrabCue = {
/**
 * The cue's number.
 */
nonce: Nonce,
/**
 * The device's clock when it showed the cue.
 */
shown: Micros, };

/**
 * The own part in the race, and nothing of the others'.
 */
export type GrabView = {
/**
 * Whether tokens can be taken; with the deal shown to everybody, for all at once.
 */
live: boolean,
/**
 * This seat's cue, once one was made: exactly one token shows as missing.
 */
cue: Nonce | null,
/**
 * A gentle sound may go with the cue, the teacher's choice for all alike.
 */
cue_sound: boolean,
/**
 * What came of the own last tap.
 */
tap: Tap,
/**
 * How many times the own tap was answered in this round, so that a second false grab is
 * news although it reads like the first.
 */
taps: number,
/**
 * The race has been waiting for this seat for ten seconds: a private nudge.
 */
nudged: boolean, };

/**
 * A group that a deck could have.
 */
export type GroupChoice = {
/**
 * The group.
 */
key: GroupKey,
/**
 * What it is called for the teacher.
 */
title: string,
/**
 * Whether the deck has it.
 */
chosen: boolean, };

/**
 * A match group of a deck, counted from 0.
 */
export type GroupIndex = number;

/**
 * Names a match group within its skill: `7`, `cat`, `10:30`. Stored plans and shared files hold such
 * names, so a released one never changes.
 */
export type GroupKey = string;

/**
 * A match group of a deck.
 */
export type GroupPreview = {
/**
 * The group.
 */
key: GroupKey,
/**
 * What it is called for the teacher.
 */
title: string,
/**
 * Its cards.
 */
cards: Array<CardPreview>,
/**
 * Whether it has other cards to show instead.
 */
has_more_cards: boolean, };

/**
 * One table before anybody sits down.
 */
export type GroupTold = {
/**
 * Its children.
 */
pupils: Array<PupilIndex>,
/**
 * Practice partners beside them.
 */
partners: number,
/**
 * Why these children sit together, in plain sentences; only where play decided it.
 */
why: Array<string>,
/**
 * The deck that play suggests for these children, if that was asked for and one can be made.
 */
deck: SuggestedDeck | null, };

/**
 * How the program is to choose the groups.
 */
export type GroupWay = "Mixed" | "Similar" | "Random" | "FromPlay";

/**
 * The teacher asks for groups: `POST /classes/{class}/groups`.
 */
export type GroupsAsked = { "Choose": {
/**
 * The children who are here today.
 */
here: Array<PupilIndex>,
/**
 * How.
 */
way: GroupWay,
/**
 * Which of the groups that are equally good: the same number gives the same groups.
 */
draw: number, } } | { "ByHand": {
/**
 * The children of each table; empty tables are left out.
 */
tables: Array<Array<PupilIndex>>,
/**
 * Whether each table is to have a deck suggested by what play showed.
 */
with_decks: boolean, } };

/**
 * Groups, before anybody sits down: the answer.
 */
export type GroupsTold = {
/**
 * Table 1 first.
 */
tables: Array<GroupTold>,
/**
 * How the class sits, in one plain sentence.
 */
seating: string,
/**
 * Who could not be kept apart and why, in one plain sentence; `None` if everybody is.
 */
apart: string | null,
/**
 * Who at home would sit without another child, in one plain sentence; `None` if nobody does.
 */
alone: string | null, };

/**
 * One seat's cards, opened deliberately by the teacher for a few seconds.
 */
export type HandTold = {
/**
 * Whose.
 */
name: string,
/**
 * The deck whose faces these are.
 */
deck: DeckId,
/**
 * The hand; empty while no round is dealt.
 */
cards: Array<FaceIndex>,
/**
 * The card to keep or pass.
 */
considering: FaceIndex | null, };

/**
 * The own cards.
 */
export type HandView = {
/**
 * The hand, in a stable order; a kept card takes the place of the one given away.
 */
cards: Array<CardView>,
/**
 * The card to keep or pass.
 */
considering: CardView | null,
/**
 * Whether the next card can be taken up.
 */
take_up: TakeUp,
/**
 * Whether the last move can be taken back at this moment. It ends when the neighbour opens
 * the card; a device also ends it by itself three seconds after its move.
 */
can_undo: boolean,
/**
 * Cards that match and glow steadily, after a missed own four; else empty.
 */
hint: Array<CardId>,
/**
 * A card has been waiting for long: a soft private reminder.
 */
reminded: boolean,
/**
 * A practice partner plays this hand until the child is back.
 */
stand_in: boolean, };

/**
 * Who is there, and where it left off.
 */
export type Hello = {
/**
 * What lets the device in.
 */
credential: Credential,
/**
 * The last numbered message it has, after a break; `None` for a fresh start.
 */
resume: SeatNumber | null,
/**
 * The coarsest step of the device's clock in microseconds, reported once.
 */
clock_step: Micros, };

/**
 * A face with a helper drawn into it.
 */
export type HelpedFace = {
/**
 * The face.
 */
face: FaceIndex,
/**
 * The helper.
 */
helper: Helper,
/**
 * The whole drawing, like that of a face.
 */
svg: string, };

/**
 * Private support that one seat's view adds to a face.
 */
export type Helper = "DotsUnder" | "FirstSound" | "PictureBeside" | "LargerPrint" | "SpanishWord";

/**
 * A helper that the teacher has given.
 */
export type HelperGiven = {
/**
 * Which.
 */
helper: Helper,
/**
 * The teacher holds it: it does not fade.
 */
held: boolean,
/**
 * How often the child has used it rightly: kept a card that matches, by a card that showed
 * the helper. The server counts; in a teacher's wish it is not read.
 */
right_uses: number, };

/**
 * The teacher says that a child plays at home, or in the room: `POST /classes/{class}/home`.
 */
export type HomeAsked = {
/**
 * The child.
 */
pupil: PupilIndex,
/**
 * Whether it plays at home.
 */
at_home: boolean, };

/**
 * How a round's end counts. Design, section 3, rule 6.
 */
export type HouseRule = { "Stay": {
/**
 * Rounds in a game, 1 to 20.
 */
rounds: number, } } | { "Letters": {
/**
 * A word of 3 to 6 letters, as the teacher wrote it.
 */
word: string, } } | { "Out": {
/**
 * Whoever was last cannot be put out in the next round.
 */
shield: boolean, } } | { "Calm": {
/**
 * Rounds in a game, 1 to 20.
 */
rounds: number, } };

/**
 * A friendly no over HTTP, with a status of 4xx.
 */
export type HttpRefusal = {
/**
 * One plain sentence for the person at the screen.
 */
message: string,
/**
 * The line of a class list it is about, counted from 1; `None` if it is about no line.
 */
line: number | null, };

/**
 * The QR link's code: `POST /join/link`.
 */
export type JoinLink = {
/**
 * The code in the link.
 */
code: Token, };

/**
 * A child tapped the own name and picture: `POST /join/place`.
 */
export type JoinPick = {
/**
 * From `JoinPlaces`.
 */
ticket: Token,
/**
 * The own line.
 */
pupil: PupilIndex, };

/**
 * One pupil's place as a child sees it when joining.
 */
export type JoinPlace = {
/**
 * The line in the class list.
 */
pupil: PupilIndex,
/**
 * The nickname.
 */
name: string,
/**
 * The picture.
 */
picture: Picture,
/**
 * A device holds this place already.
 */
taken: boolean, };

/**
 * The lesson's places, in answer to the row or to the QR link (`POST /join/link`).
 */
export type JoinPlaces = {
/**
 * Lets this device choose a place for a few minutes.
 */
ticket: Token,
/**
 * The lesson's name.
 */
lesson: string,
/**
 * One line a pupil.
 */
places: Array<JoinPlace>, };

/**
 * A child tapped the row of pictures that the teacher shows: `POST /join/row`.
 */
export type JoinRow = {
/**
 * The pictures in the order tapped.
 */
row: Array<Picture>, };

/**
 * The place is this device's now.
 */
export type Joined = {
/**
 * The seat's secret, for `Hello`; kept on the device until the lesson ends.
 */
token: Token,
/**
 * The nickname.
 */
name: string,
/**
 * The picture.
 */
picture: Picture, };

/**
 * A deck that is kept: one line of `GET /workshop/decks`.
 */
export type KeptDeck = {
/**
 * Which.
 */
id: KeptDeckId,
/**
 * Its name and what it is.
 */
kept: NamedDeck, };

/**
 * A deck that a teacher keeps under a name.
 */
export type KeptDeckId = string;

/**
 * A kind of face that a deck could show.
 */
export type KindChoice = {
/**
 * The kind.
 */
kind: FaceKind,
/**
 * What it is called.
 */
name: string,
/**
 * Whether it may be shown.
 */
chosen: boolean, };

/**
 * Asks how long rounds and games with a deck will be: `POST /workshop/length`.
 */
export type LengthAsk = {
/**
 * The deck.
 */
deck: DeckPlan,
/**
 * As in the preview.
 */
draw: number,
/**
 * The lesson whose house rules count; `None` for those of the ages.
 */
lesson: LessonId | null,
/**
 * Minutes of the slot, 5 to 120, to be told how many games fit.
 */
slot_minutes: number | null, };

/**
 * The teacher makes a lesson of a kept class: `POST /classes/{class}/lessons`.
 */
export type LessonAsked = {
/**
 * The lesson's name.
 */
name: string,
/**
 * The plan it begins with.
 */
ages: AgeBand,
/**
 * As in `GroupsAsked::ByHand`.
 */
tables: Array<Array<PupilIndex>>,
/**
 * The deck that lies on each of these tables; a table without one plays with the lesson's.
 */
decks: Array<DeckPlan | null>, };

/**
 * One lesson.
 */
export type LessonId = string;

/**
 * A teacher's lessons: `GET /lessons`.
 */
export type LessonLine = {
/**
 * The lesson.
 */
lesson: LessonId,
/**
 * Its name.
 */
name: string,
/**
 * When it was made, in microseconds since the Unix epoch: lessons may share a name and a day.
 */
made_at: Micros,
/**
 * Pupils on its list.
 */
pupils: number,
/**
 * Its tables.
 */
tables: number, };

/**
 * A lesson was made from a class list: answer to `POST /lessons`.
 */
export type LessonMade = {
/**
 * The lesson.
 */
lesson: LessonId,
/**
 * How the class was seated, in one plain sentence.
 */
seating: string, };

/**
 * The teacher's choices for the next game of every table.
 */
export type LessonPlan = {
/**
 * Ages that the defaults were chosen for.
 */
ages: AgeBand,
/**
 * The house rule.
 */
house: HouseRule,
/**
 * Smallest number of a deck of numbers.
 */
number_min: number,
/**
 * Largest number of a deck of numbers.
 */
number_max: number,
/**
 * Match groups in play.
 */
groups: number,
/**
 * A missed own four.
 */
missed_four: MissedFour,
/**
 * A gentle sound with the cue, for all alike.
 */
cue_sound: boolean,
/**
 * One card lies in every tray at the start and the dealer's next card comes by itself.
 */
cards_come_by_themselves: boolean,
/**
 * Cards that wait in one tray at the most.
 */
tray_limit: number,
/**
 * What the deck practises; stored plans of before this choice mean numbers.
 */
skill: Skill,
/**
 * What the deck does with pairs that children take for each other.
 */
confusables: Confusables,
/**
 * What else the teacher wishes of the deck.
 */
wishes: DeckWishes,
/**
 * The words of a deck's pictures are shown and said before its first deal.
 */
naming_walk: boolean,
/**
 * Sounds that are one for some of the class.
 */
accent: Accent,
/**
 * Switches of single skills.
 */
switches: Switches,
/**
 * Times that the teacher may change.
 */
timing: Timing,
/**
 * Children who watch may send kind pictures between rounds.
 */
cheering: boolean, };

/**
 * How well a device is reached, in words for a teacher.
 */
export type LinkQuality = "Good" | "Slow" | "Poor" | "Gone";

/**
 * A moment or a span in microseconds. On the server a moment counts from the Unix epoch and never
 * runs backwards within a table; on a device it counts from that page's own start. The two are
 * never subtracted from each other. Stays below 2^53, so that JavaScript holds it exactly.
 */
export type Micros = number;

/**
 * What happens when a seat holds four alike and has not noticed. Design, section 3, rule 8.
 */
export type MissedFour = "FindItYourself" | { "HintAfter": {
/**
 * 3 to 60.
 */
seconds: number, } } | "Tell";

/**
 * One practice partner at the model table.
 */
export type ModelSeat = {
/**
 * The helper's name.
 */
name: string,
/**
 * Its picture.
 */
picture: Picture,
/**
 * The hand.
 */
hand: Array<FaceIndex>,
/**
 * The card to keep or pass.
 */
considering: FaceIndex | null,
/**
 * Cards waiting in its tray.
 */
waiting: number,
/**
 * It has taken a token.
 */
token: boolean,
/**
 * The step is about this seat.
 */
acts: boolean, };

/**
 * A deck under a name: what `POST /workshop/decks` keeps, and the whole of a deck file.
 */
export type NamedDeck = {
/**
 * Its name.
 */
name: string,
/**
 * The deck.
 */
deck: DeckPlan, };

/**
 * A picture and what it is called.
 */
export type NamedPicture = {
/**
 * A face that shows it.
 */
face: FaceIndex,
/**
 * The word.
 */
word: string,
/**
 * The picture over the word in the cards' own letters, drawn like a face.
 */
svg: string, };

/**
 * Children who could sit together, and a deck for them.
 */
export type NextGroup = {
/**
 * The children.
 */
pupils: Array<PupilIndex>,
/**
 * Their nicknames.
 */
names: Array<string>,
/**
 * The deck as the workshop takes it; `None` where nothing was played yet, or it cannot be made.
 */
deck: DeckPlan | null,
/**
 * Why, in plain sentences.
 */
why: Array<string>, };

/**
 * What could come next by what play showed: `GET /classes/{class}/next`. The teacher decides.
 */
export type NextTold = {
/**
 * The groups that `GroupWay::FromPlay` gives to the whole class at draw 0.
 */
groups: Array<NextGroup>,
/**
 * As in `GroupsTold`.
 */
apart: string | null, };

/**
 * An unguessable number that goes out once, with one seat's cue.
 */
export type Nonce = string;

/**
 * One of the decks that teachers made themselves; what it names may be changed by its teacher.
 */
export type OwnDeckId = string;

/**
 * A deck that a teacher made herself: one line of `GET /workshop/own`.
 */
export type OwnDeckLine = {
/**
 * Which; a plan's skill names it.
 */
id: OwnDeckId,
/**
 * Its name.
 */
name: string,
/**
 * Its match groups.
 */
groups: number,
/**
 * What its teacher should know although nothing is wrong, in sentences.
 */
notes: Array<string>, };

/**
 * A deck of her own as a teacher's page sends it: `POST /workshop/own`.
 */
export type OwnDeckSent = {
/**
 * The deck: TOML, CSV, or a file that a Handround saved.
 */
deck: SentFile,
/**
 * The pictures that it names.
 */
pictures: Array<SentFile>, };

/**
 * How much time something leaves.
 */
export type Pace = "Unhurried" | "Usual" | "Brisk";

/**
 * Where the table stands.
 */
export type Phase = "Waiting" | "Dealt" | "Playing" | "RoundOver" | "GameOver" | "Naming";

/**
 * One of the everyday pictures, or a garden helper.
 */
export type Picture = "apple" | "ball" | "bell" | "boat" | "book" | "boot" | "bowl" | "bread" | "broom" | "brush" | "bucket" | "button" | "carrot" | "chair" | "clock" | "cup" | "drum" | "egg" | "flag" | "flower" | "fork" | "glove" | "hat" | "house" | "key" | "kite" | "ladder" | "lamp" | "leaf" | "lemon" | "moon" | "mug" | "pear" | "pencil" | "plum" | "ring" | "rope" | "scarf" | "shell" | "shoe" | "sock" | "spoon" | "star" | "sun" | "table" | "tent" | "train" | "tree" | "umbrella" | "wheel" | "bee" | "snail" | "beetle" | "worm" | "robin" | "hedgehog" | "frog" | "mole";

/**
 * The teacher gives a child another picture: `POST /classes/{class}/picture`. Whoever has that
 * picture gets the child's old one.
 */
export type PictureAsked = {
/**
 * The child.
 */
pupil: PupilIndex,
/**
 * The picture to be.
 */
picture: Picture, };

/**
 * Asks how a deck would look: `POST /workshop/preview`.
 */
export type PreviewAsk = {
/**
 * The deck.
 */
deck: DeckPlan,
/**
 * Chooses where the wishes leave a choice; the same number gives the same deck.
 */
draw: number,
/**
 * Take another group or another card instead of one that the deck has.
 */
swap: Swap | null,
/**
 * The lesson it is for, whose class may give its names.
 */
lesson: LessonId | null,
/**
 * The cards are drawn as a child with these helpers, none of them faded, sees them.
 */
helpers: Array<Helper>, };

/**
 * Asks for a deck on paper: `POST /workshop/print`.
 */
export type PrintAsk = {
/**
 * The deck.
 */
deck: DeckPlan,
/**
 * As in the preview.
 */
draw: number,
/**
 * A4 instead of Letter.
 */
a4: boolean,
/**
 * Backs, for paper that is turned along its long edge.
 */
backs: boolean,
/**
 * A word whose letter cards are printed too.
 */
letters: string | null,
/**
 * Players at the table.
 */
seats: number,
/**
 * As in the preview.
 */
lesson: LessonId | null, };

/**
 * A pupil's line in the class list, counted from 0.
 */
export type PupilIndex = number;

/**
 * A pupil as the board names it.
 */
export type PupilLine = {
/**
 * The pupil.
 */
pupil: PupilIndex,
/**
 * The nickname.
 */
name: string,
/**
 * The picture.
 */
picture: Picture,
/**
 * The other table where this child would disturb least; `None` if none has room.
 */
best: TableId | null, };

/**
 * A pupil on the way to another table.
 */
export type PupilMoving = {
/**
 * The pupil.
 */
pupil: PupilIndex,
/**
 * Where to; `None` for a child that leaves.
 */
table: TableId | null, };

/**
 * The last race of a table, told: `GET /lessons/{id}/tables/{table}/race`, teacher only.
 */
export type RaceTold = {
/**
 * All of it in one plain sentence, with names.
 */
sentence: string,
/**
 * What the picture shows, in words: one line a seat, fastest first.
 */
lines: Array<string>,
/**
 * Bars of reaction with their intervals, as one `<svg>` element.
 */
picture_svg: string,
/**
 * Whether the wall display can replay it: a race that does not count is not shown.
 */
can_replay: boolean, };

/**
 * Why a move or a teacher's wish was refused. Only appended to.
 */
export type Refusal = "NoRound" | "Paused" | "NotInPlay" | "AlreadyConsidering" | "NothingConsidered" | "NotYourCard" | "TrayEmpty" | "PilesEmpty" | "NextTrayFull" | "TooLateToUndo" | "TokensNotLive" | "HasToken" | "Wait" | "NoTokens" | "NoFourAlike" | "HasLaidDown" | "StandInNeverFirst" | "NotYourCue" | "GameRunning" | "NoGame" | "RuleNotPlayable" | { "DeckTooSmall": {
/**
 * The largest table this deck serves; 0 or 1 if none.
 */
serves: number, } } | "SeatCount" | "NoSuchTable" | "NoSuchSeat" | "ServerTrouble" | "PartnerHolds" | "NothingToDo" | "DeckNotPossible" | "NoRace" | "RoundRunning" | "NameNotPossible" | "SitsThere" | "ClassFull" | "NothingToShow" | "CheeringOff" | "CheeringNotNow" | "CheeringEnough" | "OnlyWatching";

/**
 * How a round can end.
 */
export type RoundEnd = { "Last": {
/**
 * That seat.
 */
seat: SeatIndex,
/**
 * The letters it has now; 0 under another rule.
 */
letters: number,
/**
 * It is out of the game now.
 */
out: boolean,
/**
 * Being last did not count, since the shield held.
 */
shielded: boolean, } } | "AllLaidDown" | { "Void": {
/**
 * Why.
 */
reason: VoidReason, } };

/**
 * A round of a table, counted from 1 and never reused, not even in a rematch.
 */
export type RoundNumber = number;

/**
 * How a round ended, shown to the whole table.
 */
export type RulingView = {
/**
 * The round.
 */
round: RoundNumber,
/**
 * What was decided.
 */
end: RoundEnd,
/**
 * The four cards that started the race, large, never saying whose; empty if there were none.
 */
four: Array<FaceIndex>,
/**
 * Who won the game, if it has ended: the seats still in play.
 */
winners: Array<SeatIndex>,
/**
 * Milliseconds until the next deal comes by itself; 0 if the game has ended.
 */
next_deal_ms: number, };

/**
 * A seat at its table, counted from 0 in the order of play.
 */
export type SeatIndex = number;

/**
 * Who sits there, as others see it.
 */
export type SeatKind = "Pupil" | "Partner";

/**
 * A numbered piece of news: a whole part of the seat's view, or all of it.
 */
export type SeatNews = { "Snapshot": SeatView } | { "Table": TableView } | { "Hand": HandView | null } | { "Grab": GrabView } | { "Ruling": RulingView | null } | { "Sorting": Array<FaceIndex> } | { "Care": CareView };

/**
 * A seat's own count of numbered messages, without gaps. A snapshot may carry any number: that
 * of the last message that it contains.
 */
export type SeatNumber = number;

/**
 * What everybody at the table sees of a seat.
 */
export type SeatPublic = {
/**
 * The nickname.
 */
name: string,
/**
 * The picture by which others know the seat.
 */
picture: Picture,
/**
 * A pupil or a practice partner.
 */
kind: SeatKind,
/**
 * Whether it plays this game; otherwise it watches.
 */
in_play: boolean,
/**
 * Cards waiting in its tray.
 */
waiting: number,
/**
 * Whether it is looking at a card.
 */
considering: boolean,
/**
 * Cards go round this seat until it acts: others see only 'cards on their way'.
 */
cards_pass_by: boolean,
/**
 * Letters collected under the `letters` rule.
 */
letters: number,
/**
 * It was last in the round before and cannot be put out in this one.
 */
shielded: boolean,
/**
 * The four alike that it laid down open in the calm game, else empty.
 */
laid_down: Array<FaceIndex>, };

/**
 * What a seat can do.
 */
export type SeatSays = { "DealShown": {
/**
 * Which deal.
 */
round: RoundNumber, } } | "TakeUp" | { "Keep": {
/**
 * The card under consideration, so that a late double tap hits nothing.
 */
card: CardId,
/**
 * The card of the hand that goes to the next seat.
 */
give: CardId, } } | { "Pass": {
/**
 * The card under consideration.
 */
card: CardId, } } | "Undo" | { "Grab": Grab } | { "CueShown": {
/**
 * Which cue.
 */
cue: Nonce,
/**
 * The device's clock at the animation frame after the one that changed the page.
 */
shown: Micros, } } | "LayDown" | { "InView": {
/**
 * Whether the child can see it.
 */
visible: boolean, } } | { "Help": {
/**
 * Whether help is wanted.
 */
wanted: boolean, } } | { "Break": {
/**
 * Whether a break is wanted.
 */
wanted: boolean, } } | "PicturesNamed" | { "Cheer": {
/**
 * Which.
 */
picture: CheerPicture, } } | { "Covered": {
/**
 * Whether the cover lies there.
 */
covered: boolean, } };

/**
 * Everything one seat's device may know of its table. An onlooker has no hand.
 */
export type SeatView = {
/**
 * The table as everybody sees it.
 */
table: TableView,
/**
 * The own seat.
 */
you: SeatIndex,
/**
 * The own cards; `None` while the seat is out of the game or no round was dealt.
 */
hand: HandView | null,
/**
 * The own part in the race.
 */
grab: GrabView,
/**
 * How the last round ended; `None` once the next is dealt.
 */
ruling: RulingView | null,
/**
 * For a seat that is out and watches: faces discarded in the round before, to sort on its own
 * screen. They tell nothing of the round being played. Empty for everybody else.
 */
sorting: Array<FaceIndex>,
/**
 * What this child asked for, and who plays its cards by the teacher's word.
 */
care: CareView, };

/**
 * A file inside a request.
 */
export type SentFile = {
/**
 * Its name, whose ending says what it is.
 */
name: string,
/**
 * Its bytes in base64 (RFC 4648 section 4).
 */
base64: string, };

/**
 * Children who play at the teacher's own tablet: `POST /lessons/{id}/shared`; answered with one
 * `Joined` each.
 */
export type SharedAsked = {
/**
 * Two to four of them.
 */
pupils: Array<PupilIndex>, };

/**
 * The skill that a deck practises. Only appended to, since stored plans name skills.
 */
export type Skill = "Numbers" | "TeenNumbers" | { "SumsWithin": {
/**
 * Largest number in any fact: 5 to 20.
 */
max: number, } } | "PartnersOfTen" | { "OneMore": {
/**
 * Largest number: 8 to 120.
 */
max: number, } } | "TenMore" | "Arrays" | { "PlaceValue": {
/**
 * Largest number: 99 or 999.
 */
max: number, } } | "Letters" | "FirstSounds" | "ShortVowelWords" | "WordFamilies" | "Rhymes" | "SightWords" | { "ClockTimes": {
/**
 * Minutes between the times in use: 60, 30, 15 or 5.
 */
step_minutes: number, } } | { "Coins": {
/**
 * Largest amount in cents: 25 to 100.
 */
cents_max: number, } } | "Shapes" | "EqualShares" | "OurClass" | { "OwnDeck": {
/**
 * Which of those that the server keeps.
 */
deck: OwnDeckId, } } | "FinalSounds" | "MiddleVowels" | "Digraphs" | "Blends" | "SilentE" | "VowelTeams" | "RVowels" | "Syllables" | "Contractions" | "Compounds" | { "BeforeAfter": {
/**
 * Largest number: 8 to 120.
 */
max: number, } } | "Solids";

/**
 * A skill as the workshop offers it: `GET /workshop/skills`.
 */
export type SkillOffer = {
/**
 * Such as `Addition and subtraction`.
 */
name: string,
/**
 * What belongs together in the list: `Numbers`, `Reading`, `Measuring and shapes`.
 */
subject: string,
/**
 * The settings to choose from, the easiest first; one alone needs no choice.
 */
settings: Array<SkillSetting>,
/**
 * The youngest and the oldest it suits.
 */
ages: [AgeBand, AgeBand],
/**
 * Standards that it serves.
 */
standards: Array<StandardLine>,
/**
 * Whether the teacher sets the smallest and the largest number.
 */
takes_numbers: boolean, };

/**
 * One setting of a skill.
 */
export type SkillSetting = {
/**
 * As a plan names it.
 */
skill: Skill,
/**
 * In words: `to 10`.
 */
words: string, };

/**
 * The teacher begins a slot for playing, or takes it back: `POST /lessons/{id}/slot`; answered like
 * `GET /lessons/{id}/slot`.
 */
export type SlotAsked = {
/**
 * Minutes from now on, 5 to 120; `None` to take it back.
 */
minutes: number | null, };

/**
 * A slot for playing as it runs, by simulation.
 */
export type SlotTold = {
/**
 * Minutes left, begun ones whole; `None` while no slot runs.
 */
minutes_left: number | null,
/**
 * What fits and when to ring the bell, in one line; empty while no slot runs.
 */
sentence: string,
/**
 * Now is the time for the bell.
 */
ring_now: boolean, };

/**
 * A standard that a skill serves.
 */
export type StandardLine = {
/**
 * Its code, such as `K.CC.B.5`.
 */
code: string,
/**
 * What it asks, in our words.
 */
asks: string, };

/**
 * In or not.
 */
export type SubstituteAnswer = {
/**
 * Which device, by `DoorWaiting::number`.
 */
number: number,
/**
 * Whether it comes in.
 */
admit: boolean, };

/**
 * The substitute's page asks what waits at the door, and may answer: `POST /substitute/door`.
 */
export type SubstituteAsk = {
/**
 * The code behind the address's `#`.
 */
code: Token,
/**
 * An answer to one who waits.
 */
answer: SubstituteAnswer | null, };

/**
 * The day of a substitute's link: `POST /lessons/{id}/substitute`, from the teacher's page, which
 * knows when the day begins and ends where she is.
 */
export type SubstituteDay = {
/**
 * The day's beginning on the server's clock (microseconds since the Unix epoch).
 */
from: Micros,
/**
 * Its end; a day has at most 25 hours, where clocks are put back.
 */
until: Micros, };

/**
 * The door as a substitute sees it.
 */
export type SubstituteDoor = {
/**
 * The link's day.
 */
day: SubstituteDay,
/**
 * Who waits for an answer, oldest first.
 */
waiting: Array<DoorWaiting>, };

/**
 * A link that was made just now. The server keeps only its digest, so that it is shown this once.
 */
export type SubstituteLink = {
/**
 * The address.
 */
url: string,
/**
 * Its day.
 */
day: SubstituteDay, };

/**
 * What a substitute can do.
 */
export type SubstituteSays = { "Start": {
/**
 * One table, or all.
 */
table: TableId | null, } } | { "Freeze": {
/**
 * One table, or all.
 */
table: TableId | null, } } | { "GoOn": {
/**
 * One table, or all.
 */
table: TableId | null, } } | { "Bell": {
/**
 * One table, or all.
 */
table: TableId | null,
/**
 * Whether it rings.
 */
ring: boolean, } } | { "HelpGiven": {
/**
 * The table.
 */
table: TableId,
/**
 * The seat.
 */
seat: SeatIndex, } } | { "HandOver": {
/**
 * The table.
 */
table: TableId,
/**
 * The seat.
 */
seat: SeatIndex,
/**
 * Whether the partner plays.
 */
partner: boolean, } } | { "Open": {
/**
 * Whether children may join.
 */
open: boolean, } };

/**
 * What a substitute sees of a seat beside its public part.
 */
export type SubstituteSeat = {
/**
 * A device is connected and its page is in view.
 */
here: boolean,
/**
 * A practice partner plays the hand until the child is back.
 */
stand_in: boolean,
/**
 * What the child asked for, and who plays its cards by word of the grown-up.
 */
care: CareView, };

/**
 * The substitute's page asks for the slot for playing, and may begin it or take it back:
 * `POST /substitute/slot`, answered with `SlotTold`.
 */
export type SubstituteSlotAsk = {
/**
 * The code behind the address's `#`.
 */
code: Token,
/**
 * What is chosen, if anything is.
 */
choose: SlotAsked | null, };

/**
 * One table of a substitute's page.
 */
export type SubstituteTable = {
/**
 * The table.
 */
table: TableId,
/**
 * Such as `Table 1`.
 */
name: string,
/**
 * The public part, as every child at the table sees it.
 */
view: TableView,
/**
 * Each seat, in the order of play.
 */
seats: Array<SubstituteSeat>,
/**
 * The bell has rung: the game ends with this round.
 */
bell: boolean,
/**
 * Who needs somebody, most urgent first; false grabs are not told here.
 */
attention: Array<Attention>, };

/**
 * The whole of a substitute's page, newest only.
 */
export type SubstituteView = {
/**
 * The lesson's name.
 */
name: string,
/**
 * Whether children may join now.
 */
open: boolean,
/**
 * The row of pictures to tap. This and the addresses below are the link's own and end with it.
 */
row: Array<Picture>,
/**
 * The children's address.
 */
join_url: string,
/**
 * The QR code of that address as one `<svg>` element.
 */
join_qr_svg: string,
/**
 * The wall display's address.
 */
wall_url: string,
/**
 * How the next game is played.
 */
plan: LessonPlan,
/**
 * What its deck is called.
 */
next_deck: string,
/**
 * The tables.
 */
tables: Array<SubstituteTable>, };

/**
 * A deck for a table. The teacher decides whether it is laid.
 */
export type SuggestedDeck = {
/**
 * Its name.
 */
name: string,
/**
 * As the workshop and a new lesson take it.
 */
deck: DeckPlan,
/**
 * Why, in plain sentences.
 */
why: Array<string>, };

/**
 * One child's support.
 */
export type Support = {
/**
 * Helpers, each at most once. A card shows the first of them that its face has.
 */
helpers: Array<HelperGiven>,
/**
 * The soft reminder, and cards that go round the seat, come after twice the usual time.
 */
unhurried: boolean,
/**
 * A missed own four; `None` is as the lesson has it.
 */
missed_four: MissedFour | null,
/**
 * The child begins each round with two cards that match, where the deal allows it.
 */
head_start: boolean, };

/**
 * What is to be exchanged for another of its kind.
 */
export type Swap = { "Group": GroupKey } | { "Card": CardKey };

/**
 * Switches of single skills; a skill that a switch does not concern ignores it.
 */
export type Switches = {
/**
 * Shapes go by their most exact names, so that squares may stand beside rectangles.
 */
exact_names: boolean,
/**
 * Quarters of an hour are said as quarter past and quarter to, and not by their digits.
 */
quarter_words: boolean,
/**
 * Each coin shows its value in print.
 */
coin_values: boolean, };

/**
 * The deck that one table plays its next game with, instead of the lesson's.
 */
export type TableDeck = {
/**
 * The table.
 */
table: TableId,
/**
 * The deck's name.
 */
name: string, };

/**
 * One table of a lesson.
 */
export type TableId = string;

/**
 * The public part: the same for every seat and onlooker of a table.
 */
export type TableView = {
/**
 * The game, counted from 1; 0 before the first.
 */
game: GameNumber,
/**
 * The round, counted from 1; 0 before the first.
 */
round: RoundNumber,
/**
 * Where the table stands.
 */
phase: Phase,
/**
 * The teacher stopped the table.
 */
paused: boolean,
/**
 * The house rule of this game.
 */
house: HouseRule,
/**
 * The dealer of this round.
 */
dealer: SeatIndex,
/**
 * Tokens laid out for this round: one fewer than the seats in play. It does not change during
 * a race; a missing token is shown by the seat's own cue.
 */
tokens: number,
/**
 * Cards on the draw pile.
 */
draw_pile: number,
/**
 * Cards on the discard pile.
 */
discard_pile: number,
/**
 * The seats in the order of play.
 */
seats: Array<SeatPublic>,
/**
 * Kind pictures since the round ended, oldest first; `None` where cheering is not switched on.
 */
cheers: Array<Cheer> | null, };

/**
 * Whose a tablet is: the answer of `POST /join/tablet` without `sit`.
 */
export type TabletTold = {
/**
 * The number on its back, from 1; 0 for one that is nobody's yet.
 */
number: number,
/**
 * The nickname; empty for one that is nobody's yet.
 */
name: string,
/**
 * The picture.
 */
picture: Picture | null, };

/**
 * Whether the next card can be taken up, and if not, what the seat is waiting for.
 */
export type TakeUp = "FromPile" | "FromTray" | "DecideFirst" | "TrayEmpty" | "NextTrayFull" | "PilesEmpty" | "LaidDown" | "NotNow";

/**
 * What came of the own last tap on a token.
 */
export type Tap = "None" | "Taken" | { "FalseGrab": {
/**
 * How long taps without a cue are not heard, in milliseconds.
 */
wait_ms: number, } } | { "Excited": {
/**
 * How long taps without a cue are not heard, in milliseconds.
 */
wait_ms: number, } } | { "TooSoon": {
/**
 * In milliseconds.
 */
wait_ms: number, } };

/**
 * The times of a lesson that its teacher may change.
 */
export type Timing = {
/**
 * When a waiting child is reminded, and when cards go round it.
 */
pace: Pace,
/**
 * How quickly practice partners play.
 */
partners: Pace,
/**
 * What a false grab costs.
 */
false_grab: FalseGrabCost, };

/**
 * What reaches a device.
 */
export type ToClient = { "Welcome": Welcome } | { "Seat": {
/**
 * This seat's own count, without gaps.
 */
number: SeatNumber,
/**
 * What is new.
 */
news: SeatNews, } } | { "Cue": {
/**
 * The round it belongs to.
 */
round: RoundNumber,
/**
 * Unguessable, this seat's alone.
 */
nonce: Nonce, } } | { "Refused": {
/**
 * What was asked.
 */
ask: Ask,
/**
 * Why not.
 */
refusal: Refusal, } } | { "Clock": {
/**
 * The device's clock, echoed.
 */
device: Micros,
/**
 * The server's clock when the question was read.
 */
received: Micros,
/**
 * The server's clock when the answer was written.
 */
sent: Micros, } } | { "Board": BoardView } | { "Wall": WallView } | { "TellClock": {
/**
 * Names the question; unguessable, so that no answer comes before it.
 */
nonce: Nonce, } } | { "Substitute": SubstituteView };

/**
 * What a device sends.
 */
export type ToServer = { "Hello": Hello } | { "Seat": {
/**
 * The device's own number for this, echoed in a refusal.
 */
ask: Ask,
/**
 * The move.
 */
says: SeatSays, } } | { "Board": {
/**
 * The page's own number for this, echoed in a refusal.
 */
ask: Ask,
/**
 * The wish.
 */
says: BoardSays, } } | { "ClockAsk": {
/**
 * The device's clock when it asked.
 */
device: Micros, } } | { "ClockTold": {
/**
 * Which question.
 */
nonce: Nonce,
/**
 * The device's clock when the question was read.
 */
received: Micros,
/**
 * The device's clock when the answer was written.
 */
answered: Micros, } } | { "Substitute": {
/**
 * The page's own number for this, echoed in a refusal.
 */
ask: Ask,
/**
 * The wish.
 */
says: SubstituteSays, } };

/**
 * The secret by which a device returns to its seat, its wall display or its board.
 */
export type Token = string;

/**
 * Another deck for the next games: `POST /lessons/{lesson}/deck`.
 */
export type UseDeck = {
/**
 * For one table alone; `None` for all.
 */
table: TableId | null,
/**
 * The deck; `None` brings a table back to the lesson's.
 */
deck: DeckPlan | null, };

/**
 * Why a round does not count.
 */
export type VoidReason = "LinkLost" | "Restarted" | "Unattended" | "Stopped" | "Frozen";

/**
 * Four cards that match. A card that is turned over is not sent.
 */
export type WallFour = {
/**
 * The deck whose faces these are.
 */
deck: DeckId,
/**
 * The cards; `None` for the one that is turned over.
 */
cards: Array<FaceIndex | null>, };

/**
 * One step of the model table, all hands open. Practice partners alone play it.
 */
export type WallModel = {
/**
 * The deck whose faces these are.
 */
deck: DeckId,
/**
 * The step, counted from 1.
 */
step: number,
/**
 * How many there are.
 */
steps: number,
/**
 * One plain sentence on what has just happened.
 */
words: string,
/**
 * Tokens in the middle.
 */
tokens: number,
/**
 * Cards on the draw pile.
 */
draw_pile: number,
/**
 * Who plays, in the order of play.
 */
seats: Array<ModelSeat>, };

/**
 * A race to replay calmly: who took a token, and nothing of times or of who took none.
 */
export type WallRace = {
/**
 * Counts what the teacher shows, so that one is played once.
 */
number: number,
/**
 * The table's name.
 */
table: string,
/**
 * Everybody at the table, in the order of play.
 */
seats: Array<WallSeat>,
/**
 * The seats whose tokens go at each moment, first to last.
 */
moments: Array<Array<SeatIndex>>, };

/**
 * What the teacher wishes to see on the wall.
 */
export type WallSays = { "Four": {
/**
 * The deck.
 */
deck: DeckId,
/**
 * Four different faces of one match group.
 */
faces: Array<FaceIndex>, } } | { "LastFour": {
/**
 * The table.
 */
table: TableId, } } | { "Hide": {
/**
 * Its place, counted from 0.
 */
place: number, } } | "ShowAll" | "ModelOpen" | "ModelNext" | "ModelBack" | "TakeOff";

/**
 * A seat on the wall.
 */
export type WallSeat = {
/**
 * The nickname.
 */
name: string,
/**
 * The picture.
 */
picture: Picture,
/**
 * A pupil or a practice partner.
 */
kind: SeatKind,
/**
 * Whether the child has arrived; partners always have.
 */
here: boolean, };

/**
 * What the wall shows at the teacher's wish; at most one of the two.
 */
export type WallShows = {
/**
 * Four cards that match.
 */
four: WallFour | null,
/**
 * The model table.
 */
model: WallModel | null, };

/**
 * A table on the wall.
 */
export type WallTable = {
/**
 * Such as `Table 1`.
 */
name: string,
/**
 * Who sits there.
 */
seats: Array<WallSeat>, };

/**
 * The wall display: the way in, and who sits where. Never who is out, hands, pace or deck level.
 */
export type WallView = {
/**
 * The lesson's name.
 */
name: string,
/**
 * Whether children may join now.
 */
open: boolean,
/**
 * The row of pictures to tap.
 */
row: Array<Picture>,
/**
 * The address that the QR code holds.
 */
join_url: string,
/**
 * The QR code as one `<svg>` element.
 */
join_qr_svg: string,
/**
 * The tables, each with the names and pictures of its seats.
 */
tables: Array<WallTable>,
/**
 * A race that the teacher shows, for as long as a calm replay takes.
 */
race: WallRace | null,
/**
 * Four cards or a model table that the teacher shows.
 */
shows: WallShows, };

/**
 * How a device came to the door.
 */
export type Way = "Picture" | "Card" | "Home" | "Tablet";

/**
 * What a connection is, and what it should load first.
 */
export type Welcome = { "Seat": {
/**
 * The table.
 */
table: TableId,
/**
 * The own seat.
 */
seat: SeatIndex,
/**
 * The deck whose faces to load before the first deal.
 */
deck: DeckId, } } | "Board" | "Wall" | "Substitute";
