"""Red words: what must ring, and what must not, in the words a family writes."""

from __future__ import annotations

from datetime import date

import pytest

from core.roster import Dog, Kennel, Person
from core.urgent import alarm

ON = date(2026, 7, 5)
PEOPLE = (
    ("Maya", "breeder", ("Ma", "Mum")),
    ("Tom", "partner", ("Dad",)),
    ("Elin", "family", ()),
    ("Max", "child", ()),
    ("Gran", "gran", ()),
)
BUHUND = "Norwegian Buhund"
KENNEL = Kennel(
    name="Larkrise",
    people=tuple(Person(name=n, role=r, also=a) for n, r, a in PEOPLE),
    dogs=(
        Dog(name="Nugget", also=("Nug", "N"), sex="m", born=date(2026, 3, 8), breed=BUHUND, litter="Saga"),
        Dog(name="Fern", sex="f", born=date(2026, 3, 8), breed=BUHUND, litter="Saga"),
        Dog(name="Bran", sex="m", born=date(2021, 3, 8), breed=BUHUND),
        Dog(name="Saga", sex="f", born=date(2021, 5, 8), breed=BUHUND),
        Dog(name="Runa", sex="f", born=date(2022, 5, 8), breed=BUHUND),
        Dog(name="Tove", sex="f", born=date(2016, 5, 8), breed=BUHUND),
        Dog(name="Green", sex="f", born=date(2026, 7, 2), litter="Runa"),
        Dog(name="Yellow", sex="f", born=date(2026, 7, 2), litter="Runa"),
        Dog(name="Pepper", also=("Blue",), sex="f", born=date(2026, 4, 20), litter="Saga", home="Ana"),
    ),
)

RINGS = """
nugget ate chocolate
had one grape
seizure
fitting
bloat
belly tight trying to be sick nothing comes
heat stroke
pushing hard 20 min no pup
newborn cold
newborn limp
swallowed a sock
ate rat bait
xylitol gum, Nugget help
he ate xylitol gum
collapsed
can't pee
pale gums
nursing dam shaking stiff
Bran's belly tight, trying to be sick, nothing comes
he had one grape off the floor
nugget swallowed my sock
pushing hard 20 min
Runa shaking stiff panting
Pepper not eaten since yesterday and runny poo
not eaten since yesterday and runny poo
Nuget ate choclate
Gran gave him a grape
Gran dropped a grape and he ate it
Max dropped chocolate and Nugget got it
I think Nugget might have eaten some raisins
I don't think he ate the grape but not sure
found the chocolate wrapper in Nugget's crate
Nugget's eaten a sock
the pup has swallowed a stone
Fern got into the rat poison
she's had a seizure
Bran having a fit
Bran is fitting
Tove collapsed in the yard
Tove can't get up
Green is cold and limp
green off the pile and crying
Yellow won't suck
straining to pee and nothing comes
Bran can't wee
his gums are white
gums look grey
Nugget got hold of my ibuprofen
I gave Bran a paracetamol
Nugget ate mum's tablets
Nugget ate the whole packet of pills
Nugget chewed the slug pellets
dog licked antifreeze
Bran retching, nothing coming up
Bran's stomach swollen and he keeps retching
he's overheated, staggering
Bran left in the hot car, glazed eyes
green discharge, no pup yet
Runa green discharge and no pups
2 hours since last pup, 2 still to come
pup stuck halfway out
Runa's teats hot and hard
Saga smelly discharge and drinking loads
Pepper vomiting and diarrhoea
Pepper being sick and has the runs
Fern's eye is shut
Bran cut his eye
Nugget's ear is hot and swollen
Bran hit by a car
Saga bitten by an adder
Saga's face is swelling up
Bran struggling to breathe
choking on a bone
vomiting blood
Bran can't use his back legs
OMG Nugget just ate a whole bar of dark chocolate
he's eaten my chewing gum
Pepper ate onions
Max let Nugget eat a grape
saw him swallow a stone
nugget ate a corn cob
the little monkey ate my chocolate
did Nugget eat the chocolate??
all the chocolate has gone and Nugget looks guilty
NUGGET CHOCOLATE HELP
I found him collapsed
Mum found Nugget collapsed
twitching and stiff, Runa
Runa's shaking
tremors in Runa
she swallowed half a toy
Peppers been sick twice and has runny poo
he ate a mince pie
fed Nugget raisins by mistake
Nugget stole a hot cross bun
eaten a battery
think Bran ate rat bait in the barn
dad he's having a seizure
nuggets swallowed a sock
Help Bran has eaten a whole Toblerone bar of chocolate
just found Fern chewing a blister pack of my tablets
Nugget's had a bite of fruitcake
Saga got into the compost and ate grapes
Bran has just had a fit on the kitchen floor
Tove is having another seizure
he's collapsed!!
Runa's been straining for 40 minutes and no pup
runa pushing for an hour nothing
Runa contractions 30 mins no pup yet
Yellow feels cold and isn't sucking
one of the newborns is limp
newborn not breathing
tiny one is fading, cold
the pup won't latch and is crying
Bran can't stand up and his gums are white
Bran's tummy is rock hard and he's retching
Bran keeps trying to vomit but nothing comes up
Saga bloated and retching
Nugget ate a stone on the walk
Fern swallowed a corn cob
Max says Nugget swallowed a lego
Nugget has eaten a tampon
the dog ate my vape
Saga licked up antifreeze in the garage
Tom thinks Bran ate slug pellets
Bran's been at the rat poison
Pepper threw up twice and has diarrhoea
pup hasn't eaten since yesterday, won't drink either
Tove fell over and is shaking all over, eyes rolling, think it's a seizure
fern cant breathe properly
Bran was hit by a van
Runa is trembling and panting
Runa's teat is hard and hot and red
Saga has yellow smelly discharge
Saga drinking loads and off her food, discharge too
Nugget stung by a bee and his face is swelling
Bran's eye is closed and weeping
blood in Bran's vomit
Bran is peeing blood
he's swallowed my sock, whole
may have eaten some raisins not sure how many
could she have eaten the onions?
I dropped paracetamol and can't find it, Nugget was there
gave him paracetamol for his limp
Bran overheated after the run and can't stand
it's 30 degrees and Bran is staggering in the heat
Tove has passed out
dad come quick nugget's choking
Nugget is choking on a chew
one raisin, nugget
a grape went down Nugget's throat
Nugget just wolfed down half a chocolate cake
Bran is not able to pee at all
Bran trying to wee and only drops come
green waters and still no pup
stuck pup, head out and nothing moving
its been 3 hours since the last pup and the xray said 2 more
can't find the sock, think Fern swallowed it
xylitol!! Nugget ate the gum off the desk
Bran snaffled three mince pies off the table
dad nugget got the raisins
I think Fern had some of my chewing gum
the pups got into the cocoa powder
Pepper ate a slug pellet i think
Bran drank some antifreeze
a chunk of squeaky toy is missing and Fern was the last one with it, swallowed it I reckon
Saga ate a corn on the cob last night and is being sick
Bran fitting in the garden
she's convulsing
Nugget went all floppy
Tove unresponsive
gums are grey on Bran
Bran's tongue has gone blue
his stomach is like a drum and he can't settle, keeps retching
she's been pushing really hard for 25 minutes
Runa's been in hard labour an hour, nothing born
White is limp and cold
Yellow keeps crying and is off the pile
Runa's twitching and panting, pups are 2 weeks
Runa's milk bar is rock hard and she's hot
bran hasnt peed all day
he's straining to wee and crying
Bran got heatstroke at the show
Tove is staggering about, been out in the sun
Pepper sick three times and runny bum
Bran run over on the lane
Fern was bitten by an adder
Nugget swallowed a fish hook
nug ate a battery out of the remote
Fern's eye is cut
he ate half a box of grapes
can't stop Bran's ear bleeding, won't stop bleeding
Nugget took my paracetamol off the side
Gran slipped Bran a bit of Christmas pudding
we found Bran collapsed by the gate
Bran licked the paint tin
i left a bar of dark chocolate in my bag and its gone, Nugget was in the room
Saga has pyo
is it ok if Nugget ate one grape?
turns out Nugget ate the chocolate
it was only a small bar of chocolate but Nugget ate it
Gran gave him chocolate before he had his dinner
Nugget ate the chocolate before he could be stopped
pushing hard and no pup in 20 min
Bran isn't used to this heat, he's collapsed
we're back in from the walk and Bran has collapsed
in the past hour Bran has had a seizure
I'm not joking Nugget ate a grape
he had one months ago and now Bran is fitting again
""".strip().splitlines()

QUIET = """
the chocolate Lab next door
chocolate cake for mum's birthday
no chocolate for the dogs
very nearly got the chocolate
seizure of power
fit as a fiddle
the grape harvest
Dad had a seizure at work
Tom collapsed on the sofa
Gran can't pee without help lol
we had grapes after dinner
I ate all the chocolate
who ate the chocolate
next door's dog ate chocolate
Sam's lab swallowed a sock
a dog at the park had a seizure
Nugget didn't eat the chocolate
Nugget very nearly ate a sock
can dogs eat grapes?
what are the signs of bloat?
keep the grapes away from Nugget
chocolate lab puppies for sale
the new collar is fitting well
fitting the new crate tonight
fitting his harness
fitting room
Bran is fit and well
doesn't fit in the crate
the fence collapsed
collapsed asleep after his walk
he collapsed laughing
no seizures today
not had a seizure
I'm reading an article on seizures in dogs
Saga in heat
came into heat today
it's boiling hot today, walk early
car overheated on the way
software bloat
Nugget had a chocolate coloured blanket
who's getting milk
Nugget 9.4 kg, ears half up
fed everyone
Bran cold nose
cold water swim
it's cold tonight
pushing hard on the lead for 20 min
Nugget pushing his bowl about
Nugget lost a tooth
gums are sore where the tooth came out
he chewed my sock
Nugget nicked a sock again
Nugget ate the whole sofa lol
eye test on Friday
keep an eye on Nugget
both eyes open now
Green's eyes still shut
cute head tilt
wormed pups
Runa shaking her head
shaking off the water
stiff competition at the show
Bran a bit stiff after the walk
heatwave coming, heatstroke warning for dogs
the grapes in the garden are ripe
my sister had heat stroke in Spain
Mum choked on her tea laughing
can't breathe with this cold
I can't breathe in this heat
choked up watching the film
Nugget ate all his dinner
Nugget ate breakfast and then had a treat
gave him a bit of cheese he was so good
Nugget's got a chocolate nose
Saga's chocolate cousin won the class
bought rat bait for the barn
put the slug pellets in the shed out of reach
hot cross buns for tea
he'd have eaten the chocolate if I hadn't grabbed it
Nugget wanted my chocolate
Nugget ate a sock years ago
remember when Bran ate the Christmas cake
Sam's brother swallowed a coin, he's in hospital
Max swallowed a tooth
Nugget won't eat his broccoli
the cat was sick and had the runs
Tom has the runs and is being sick
Dad's being sick
Fern's been good, Dad had a fit about the mud
Mum threw a fit when she saw the carpet
having a clear out, old toy gone
Nugget had his wormer
Nugget ate his tablet
gave Bran his tablet in cheese
gave Tove her heart tablet
bone broth for Tove
sock it to them
rock solid dog
he rocks
stones in the drive
new toy for Nugget
Elin got chocolate from Gran
kids had chocolate, dogs had carrots
Dogs can't have chocolate
Max, don't give Nugget chocolate
please don't let them eat grapes
pick up the grapes before Nugget eats them
vet says the grape is fine, just watch him
false alarm he didn't swallow it
seizure meds arrived for the neighbour's dog
Tove peed all over the kitchen
not peed yet this morning
haven't weed yet
Runa's milk is in
pups feeding well
pups all warm and full
no pups yet
Runa pushing her blanket about
bloody hell
bloody dog
blood test for Saga
no blood in it
my eyes are closing
blue collar boy 342
white collar girl cold nose
whites of eyes clear
grey day
pale coat
Nugget's a fast breather
Mum's gasping for a tea
hit the road
run over to the shop?
run over the agility course
broken lead
broken toy
grape collar girl 340
raisin cookies for the bake sale
onion soup for tea
who wants garlic bread
had garlic bread and wine
Elin had onion rings
I had a chocolate biscuit
Had a lovely walk, then chocolate cake
chocolate brown coat on that pup
got chocolate for the kids easter hunt
the ball went missing
no gum disease
gum line looks red
the grapes were on offer at the shop
Nugget loves carrots not grapes
who left chocolate on the table? lucky none of the dogs got it
put the raisins up high please
raisin toast for me and then walkies
Runa's 3rd season, colour today
Nugget pulled like mad, nearly choked himself on the lead
Bran's weight is fine but he feels a bit hard in the belly area lol
Elin fainted at the sight of the vet bill
Tom's back went, he can't get up
Mum has heat stroke from gardening
the pups are noisy but fat and warm
crying with laughter at Nugget
Yellow crying a bit then settled on the teat
all newborns feeding well and gaining
cold snap tonight, heat lamp on for the pups
pups room is cold, put the heater on
Runa eating well, milk flowing
Runa stiff legged display at Saga lol
Saga was sick as a dog in the car years ago
Fern sick once this morning, fine now
Nugget a bit loose this morning
Bran had the runs last month
eyes open on White today
Nugget's ears are hot from the sun
Bran's got a swollen head since he won the class
head tilt cuteness overload
bought new socks
Max lost a sock, check the wash
Nugget stole a sock and ran off with it, got it back
Nugget carried a stone home
Bran ate his bone
Nugget ate a carrot
Fern pinched a biscuit
Gran gave the dogs toast
Gran gave them chicken
chocolate labs are lovely
our chocolate brown sofa is ruined
chewing gum on my shoe again
hit the nail on the head with that trim
broken nail on Bran, filed it
Bran broke a nail
Runa whelped 6, all well
pushing the boundaries that pup
teenager, pushing his luck for 20 minutes
Saga's bleeding started, day 1 of her season
Saga bleeding heavily, definitely in season
colour heavy today, Saga
no pup is getting in my bed
gums nice and pink
Bran chews gum leaf
blue eye pup at the other kennel
my eye is swollen shut, hay fever
can't breathe through my nose
kids are sick with vomiting and diarrhoea
off school, Max was sick and has diarrhoea
vaccine reaction leaflet says watch for swollen face
what is bloat?
course on canine first aid: seizures, bloat, choking
the vet talked about seizures at the club night
poor Meg next door died of bloat
my friend's beagle ate rat bait
Sue's dog collapsed at agility
Fern collapsed on her bed after the walk, happy pup
ate too much chocolate at the party
had too many grapes, says Max
onions for the stew please
Nugget's breath smells of onions
we need rat bait, rats in the barn
slug pellets are banned now
paint the kennel on Saturday
Nugget got paint on his paws
stick in Nugget's mouth, cute photo
Nugget chewed the wooden spoon
Runa shaking paws with Max
shake shake, wet dogs everywhere
trembling with excitement, Bran saw the lead
Bran shivering after his bath
hot day, panting dogs, paddling pool out
Bran is on heat watch lol
fit to burst after that dinner
that collar is a good fit
new harness fitted
Nugget had a fit of the zoomies
My first dog ate a whole tin of chocolates in 1983, wrappers and all
cousin rays dog luna ate a whole sock lol
Nugget grabbed the chocolate wrapper off the pavement but I got it off him before he ate any
put grapes on the shopping list
Fern's new squeaky toy lasted five minutes
Bran ate his breakfast and a bit of apple
Max ate Nugget's carrot lol
Gran brought chocolates for us all
dogs mustn't have grapes Max
what should I do if a dog eats chocolate, for my homework
Tom fitted the stair gate
is the harness fitting ok?
show went well, Bran fit and gleaming
Bran struggled with the heat so we came home early
the heat in the whelping room is 27
Saga's in full heat
Runa due Tuesday
Runa had her scan, 6 pups
pushing the pups outside for 20 mins tomorrow
no discharge, all clear
Runa's discharge is normal, red brown
White fell asleep on the teat
bottle is cold, warm it first
Max was sick on the school trip
Elin's got a tummy bug, she can't keep anything down
the cat collapsed in a sunny spot
the tent collapsed on Nugget, hilarious
next door's cat was hit by a car
there was a dog hit by a car on the A road, poor thing
my dad had a stroke
Fern's eyes are gorgeous
Bran winked one eye shut lol
keep one eye on Nugget
Bran's ears are warm
wound dressing changed
Bran hates the hose, shaking water all over me
Runa shook hands for a treat
Tove a bit wobbly behind again
Tove slept all day
Nugget not eaten his lunch, playing instead
pups had their first solids, messy
chocolate pup is taken
new litter of choc and tan pups at Meg's
white socks on that pup
his socks are white
rock chick is her pedigree name
button nose
poison ivy costume for halloween
bait for fishing on saturday
string of wins for Saga
glass of wine please
paint the ring board
alcohol wipes needed
nappy bin is full
stung by a nettle, me not the dog
Saga snores like a bear
choking hazard, bin that toy
dry cough going round the kids
hot cross buns in the oven, dogs in the garden
""".strip().splitlines()


@pytest.mark.parametrize("text", RINGS)
def test_rings(text: str) -> None:
    """A dog of ours may have swallowed it, or has the sign: the vet's number at once."""
    found = alarm(text, KENNEL, ON)
    assert found is not None
    assert found.words
    assert found.text_key.startswith("urgent.")


@pytest.mark.parametrize("text", QUIET)
def test_is_silent(text: str) -> None:
    """Talk, jokes, denials, people, and other people's dogs raise nothing."""
    assert alarm(text, KENNEL, ON) is None


@pytest.mark.parametrize(
    ("text", "id_", "dog"),
    [
        ("nugget ate chocolate", "chocolate", "Nugget"),
        ("Gran gave Fern a grape", "grapes", "Fern"),
        ("Dad says Nuget swallowed a stone", "object", "Nugget"),
        ("Bran's belly tight, trying to be sick, nothing comes", "bloat", "Bran"),
        ("Runa shaking stiff panting", "milk fever", "Runa"),
        ("Green is cold and limp", "newborn", "Green"),
        ("had one grape", "grapes", ""),
    ],
)
def test_says_what_and_who(text: str, id_: str, dog: str) -> None:
    """The line of the list and the dog, where one is known."""
    found = alarm(text, KENNEL, ON)
    assert found is not None
    assert (found.id, found.dog) == (id_, dog)


def test_context_names_the_dog() -> None:
    """"He" is the dog that the message is already known to be about."""
    found = alarm("he ate a raisin", KENNEL, ON, dogs=("Bran",))
    assert found is not None
    assert found.dog == "Bran"


def test_a_dog_named_like_a_poison_is_a_dog() -> None:
    """A litter of fruit: Raisin eating her dinner is no alarm, Raisin eating grapes is."""
    kennel = Kennel(name="K", dogs=(Dog(name="Raisin", born=date(2025, 1, 1)), Dog(name="Sock", born=date(2025, 1, 1))))
    assert alarm("Raisin ate her dinner, fed Sock too", kennel, ON) is None
    found = alarm("Raisin ate two grapes", kennel, ON)
    assert found is not None
    assert found.dog == "Raisin"


def test_a_pup_named_by_its_blue_collar_is_weighed_in_peace() -> None:
    """A collar's colour is no sign: "blue 495" is a weight, "blue is limp" rings."""
    kennel = Kennel(name="K", dogs=(Dog(name="Blue", born=date(2026, 7, 1)), Dog(name="Red", born=date(2026, 7, 1))))
    assert alarm("blue 495", kennel, date(2026, 7, 5)) is None
    assert alarm("red 350 blue 361", kennel, date(2026, 7, 5)) is None
    assert alarm("blue is cold and limp", kennel, date(2026, 7, 5)) is not None


def test_signs_wait_for_the_right_dog() -> None:
    """Shaking is milk fever in a nursing dam alone; closed eyes are right in a newborn."""
    assert alarm("Bran shaking", KENNEL, ON) is None
    assert alarm("Green's eye is shut", KENNEL, ON) is None
    assert alarm("Bran's eye is shut", KENNEL, ON) is not None


ODD = ("", "\n", "?" * 5000, "no " * 50000, "ate " * 30000, "chocolate " * 20000, "🐕" * 3000, "\u202eate grape")


@pytest.mark.parametrize("text", ODD)
def test_any_text_is_survived(text: str) -> None:
    """Empty, huge and odd texts are looked at in bounded time."""
    alarm(text, KENNEL, ON)
