package ringout.ui.feel;

import java.nio.file.Path;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.function.Supplier;
import ringout.bench.FeelSession;
import ringout.device.DeviceInfo;
import ringout.feel.FeelResult;
import ringout.feel.FeelView;
import ringout.feel.FeelWords;
import ringout.feel.Trial;
import ringout.journal.JournalException;
import ringout.journal.KeptRounds;
import ringout.ui.background.Background;
import ringout.ui.background.WindowThread;
import ringout.ui.files.PlannedBox;
import ringout.ui.model.FeelModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.sound.Sounds;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Finding by feel on one box, in the window. All methods on the application thread. */
public final class Feeling {
    private static final int ROUNDS = 6;
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

    private final FeelPage page;
    private final Background background;
    private final Sounds sounds;
    private final Function<DeviceInfo, KeptRounds> kept;
    private Optional<Background.Job> opening = Optional.empty();
    private Optional<FeelSession> session = Optional.empty();
    /** Counts what was begun, so that news of what was left is passed over. */
    private int begun;

    private Optional<FeelView> shown = Optional.empty();
    private boolean ending;

    /** What came of the rounds, worked out beside the window's thread. */
    private record Outcome(FeelResult result, List<String> lines) {}

    /**
     * @param background where the box is opened and closed
     * @param kept       where the rounds of a box are kept
     */
    public Feeling(FxLettering lettering, Background background, Sounds sounds, Function<DeviceInfo, KeptRounds> kept) {
        this.background = background;
        this.sounds = sounds;
        this.kept = kept;
        page = new FeelPage(lettering, this::rest, this::end);
    }

    public FeelPage page() {
        return page;
    }

    /**
     * Opens a box in the background and begins.
     *
     * @param seed      gives the order of names
     * @param recording where to record, asked for in the background; empty for nowhere
     * @param failed    told why where it cannot be opened
     */
    public void begin(PlannedBox box, long seed, Supplier<Optional<Path>> recording, Consumer<String> failed) {
        leave();
        int number = begun;
        page.begin(box.plan().plan());
        opening = Optional.of(background.begin(
                progress -> {
                    try {
                        return FeelSession.open(
                                box.source(),
                                box.device(),
                                box.plan(),
                                ROUNDS,
                                seed,
                                recording.get(),
                                view -> WindowThread.soon(() -> show(number, view)));
                    } catch (IllegalArgumentException few) {
                        throw new JournalException(
                                Texts.say(
                                        "feel.no-choice",
                                        box.plan().plan().controls().size()),
                                few);
                    }
                },
                opened -> {
                    session = Optional.of(opened);
                    show(number, opened.view());
                },
                FeelSession::close,
                failed));
    }

    private void show(int number, FeelView view) {
        if (number != begun || ending || session.isEmpty()) {
            return;
        }
        FeelSession of = session.get();
        boolean fresh = shown.isEmpty() || !shown.get().asked().equals(view.asked());
        List<Trial> before = shown.map(FeelView::trials).orElse(List.of());
        shown = Optional.of(view);
        page.show(FeelModel.page(view, new FeelWords(of.targets()), of.trouble(), of.unrecorded()));
        if (view.trials().size() > before.size()) {
            sounds.found(view.trials().get(view.trials().size() - 1).wrong().isEmpty());
        }
        if (fresh && view.asked().isPresent()) {
            sounds.name(FeelWords.asked(view).text());
        }
        if (view.stage() == FeelView.Stage.DONE) {
            end();
        }
    }

    /** A pause, or on with it. */
    public void rest() {
        session.ifPresent(of -> of.say((feel, now) -> {
            if (feel.view().stage() == FeelView.Stage.PAUSE) {
                feel.resume(now);
            } else {
                feel.pause(now);
            }
        }));
    }

    /** Enough: says what it came to, and keeps it. */
    public void end() {
        if (session.isEmpty() || ending) {
            return;
        }
        ending = true;
        FeelSession of = session.get();
        int number = begun;
        background.begin(
                progress -> {
                    of.close();
                    return outcome(of);
                },
                outcome -> {
                    if (number == begun) {
                        page.results(outcome.lines(), FeelModel.marked(of.plan(), outcome.result()));
                    }
                },
                why -> {
                    if (number == begun) {
                        page.show(FeelModel.said(why));
                    }
                });
    }

    private Outcome outcome(FeelSession of) {
        FeelWords words = new FeelWords(of.targets());
        FeelResult result = of.result();
        List<String> lines = new ArrayList<>(Phrase.texts(words.result(result)));
        if (!of.trouble().isEmpty()) {
            lines.add(of.trouble());
        }
        if (of.view().trials().stream().anyMatch(Trial::counts)) {
            KeptRounds rounds = kept.apply(of.device());
            try {
                of.since(rounds).ifPresent(since -> {
                    lines.add(Texts.say("feel.since", MOMENT.format(since.when().atZone(ZoneId.systemDefault()))));
                    lines.addAll(Phrase.texts(words.comparison(since.change())));
                });
                lines.add(Texts.say("feel.kept", rounds.keep(of.device(), of.kept())));
            } catch (JournalException problem) {
                lines.add(Texts.say("feel.not-kept", String.valueOf(problem.getMessage())));
            }
        }
        return new Outcome(result, List.copyOf(lines));
    }

    /** Lets go of the box without a word; what counted until then is kept. */
    public void leave() {
        opening.ifPresent(Background.Job::cancel);
        opening = Optional.empty();
        if (!ending) {
            session.ifPresent(of -> background.close(() -> {
                of.close();
                if (of.view().trials().stream().anyMatch(Trial::counts)) {
                    outcome(of);
                }
            }));
        }
        session = Optional.empty();
        shown = Optional.empty();
        ending = false;
        begun++;
    }
}
