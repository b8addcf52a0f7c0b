package ringout.ui.parts;

import ringout.bench.SessionView;
import ringout.words.Texts;

/** How a box is connected, in words. */
public final class LinkState {
    private LinkState() {}

    public static String words(SessionView.Link link, boolean simulated, boolean recording) {
        return switch (link) {
            case LIVE ->
                simulated
                        ? Texts.say("link.simulated")
                        : recording ? Texts.say("link.recording") : Texts.say("link.live");
            case LOST -> Texts.say("link.lost");
            case ENDED -> Texts.say("link.ended");
        };
    }
}
