package ringout.ui.sound;

import java.util.Optional;
import java.util.function.Consumer;
import ringout.check.CheckView;
import ringout.ui.background.WindowThread;
import ringout.ui.model.Cues;
import ringout.ui.model.HuntModel;
import ringout.ui.settings.Preferences;
import ringout.watch.WatchEvent;

/** What is to be heard, as far as the settings want it: tones, and words where the system has a voice. */
public final class Sounds {
    private final Preferences preferences;
    private final Tones tones;
    private final Optional<Voice> voice = Voice.find().map(Voice::new);
    private Optional<CheckView> heard = Optional.empty();

    /** @param audible told on the window's thread whether tones can be heard, whenever that changes; at first they can */
    public Sounds(Preferences preferences, Consumer<Boolean> audible) {
        this.preferences = preferences;
        tones = new Tones(heard -> WindowThread.soon(() -> audible.accept(heard)));
    }

    /** True where the system can speak. */
    public boolean voice() {
        return voice.isPresent();
    }

    /** Another check begins: nothing of it was heard yet. */
    public void begin() {
        heard = Optional.empty();
    }

    /** A check as it stands now. */
    public void follow(CheckView check) {
        if (heard.isPresent() && heard.get() == check) {
            return;
        }
        Cues.Cue cue = Cues.between(heard, check);
        heard = Optional.of(check);
        sound(cue);
    }

    /** A hunt as it stands now. */
    public void follow(Optional<HuntModel.Page> before, HuntModel.Page now) {
        sound(Cues.between(before, now));
    }

    /** Something was noticed in a long watch. */
    public void noticed(WatchEvent event) {
        if (event.kind().isFault()) {
            sound(new Cues.Cue(Optional.of(Cues.Tone.ATTENTION), Cues.speakable(event.words())));
        }
    }

    /** A control to be found by feel is named. */
    public void name(String name) {
        sound(new Cues.Cue(Optional.of(Cues.Tone.TICK), Cues.speakable(name)));
    }

    /** One was found. */
    public void found(boolean atOnce) {
        sound(new Cues.Cue(Optional.of(atOnce ? Cues.Tone.RIGHT : Cues.Tone.WRONG), ""));
    }

    private void sound(Cues.Cue cue) {
        if (preferences.now().sound()) {
            cue.tone().ifPresent(tones::play);
        }
        if (preferences.now().speech() && !cue.words().isEmpty()) {
            voice.ifPresent(v -> v.say(cue.words()));
        }
    }

    public void close() {
        tones.close();
        voice.ifPresent(Voice::close);
    }
}
