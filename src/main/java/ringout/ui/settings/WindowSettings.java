package ringout.ui.settings;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Properties;
import ringout.ui.parts.Theme;
import ringout.words.Texts;

/**
 * What the window remembers. Immutable.
 *
 * @param theme     light, dark, or as the system has it
 * @param textScale size of text over its usual size, one of {@link #SCALES}
 * @param sound     tones for right, wrong and attention
 * @param speech    the next step is spoken, where the system has a voice
 * @param record    checks of real boxes are recorded
 * @param recent    plan files used last, the newest first
 * @param width     of the window in pixels; 0 for the first time
 * @param height    likewise
 * @param maximised whether it filled the screen; the size is then the one it had before
 */
public record WindowSettings(
        Theme theme,
        double textScale,
        boolean sound,
        boolean speech,
        boolean record,
        List<String> recent,
        double width,
        double height,
        boolean maximised) {
    /** The sizes of text to choose from. */
    public static final List<Double> SCALES = List.of(0.9, 1.0, 1.15, 1.3, 1.5, 1.75, 2.0);

    private static final int RECENT = 8;

    /** Light, dark, or as the system has it. */
    public enum Theme {
        SYSTEM,
        LIGHT,
        DARK;

        /** As it is offered. */
        public String words() {
            return switch (this) {
                case SYSTEM -> Texts.say("top.theme.system");
                case LIGHT -> Texts.say("top.theme.light");
                case DARK -> Texts.say("top.theme.dark");
            };
        }
    }

    public WindowSettings {
        recent = List.copyOf(recent);
    }

    /** What a first start begins with. */
    public static WindowSettings first() {
        return new WindowSettings(Theme.SYSTEM, 1, true, false, true, List.of(), 0, 0, false);
    }

    public WindowSettings withTheme(Theme next) {
        return new WindowSettings(next, textScale, sound, speech, record, recent, width, height, maximised);
    }

    public WindowSettings withTextScale(double next) {
        return new WindowSettings(theme, next, sound, speech, record, recent, width, height, maximised);
    }

    public WindowSettings withSound(boolean next) {
        return new WindowSettings(theme, textScale, next, speech, record, recent, width, height, maximised);
    }

    public WindowSettings withSpeech(boolean next) {
        return new WindowSettings(theme, textScale, sound, next, record, recent, width, height, maximised);
    }

    public WindowSettings withRecord(boolean next) {
        return new WindowSettings(theme, textScale, sound, speech, next, recent, width, height, maximised);
    }

    public WindowSettings withSize(double nextWidth, double nextHeight) {
        return new WindowSettings(theme, textScale, sound, speech, record, recent, nextWidth, nextHeight, false);
    }

    public WindowSettings withMaximised(boolean next) {
        return new WindowSettings(theme, textScale, sound, speech, record, recent, width, height, next);
    }

    /** Without a plan file among the recent ones. */
    public WindowSettings without(String file) {
        List<String> next = new ArrayList<>(recent);
        next.remove(file);
        return new WindowSettings(theme, textScale, sound, speech, record, next, width, height, maximised);
    }

    /** With a plan file moved to the front of the recent ones. */
    public WindowSettings used(String file) {
        List<String> next = new ArrayList<>(recent);
        next.remove(file);
        next.add(0, file);
        return new WindowSettings(
                theme,
                textScale,
                sound,
                speech,
                record,
                next.subList(0, Math.min(RECENT, next.size())),
                width,
                height,
                maximised);
    }

    /** As a properties file holds it. */
    public Properties toProperties() {
        Properties p = new Properties();
        p.setProperty("theme", theme.name().toLowerCase(Locale.ROOT));
        p.setProperty("text-scale", String.valueOf(textScale));
        p.setProperty("sound", String.valueOf(sound));
        p.setProperty("speech", String.valueOf(speech));
        p.setProperty("record", String.valueOf(record));
        p.setProperty("width", String.valueOf(width));
        p.setProperty("height", String.valueOf(height));
        p.setProperty("maximised", String.valueOf(maximised));
        for (int i = 0; i < recent.size(); i++) {
            p.setProperty("recent." + (i + 1), recent.get(i));
        }
        return p;
    }

    /** Reads a properties file; what is missing or makes no sense is as at the first start. */
    public static WindowSettings of(Properties p) {
        WindowSettings usual = first();
        Theme theme = usual.theme;
        for (Theme t : Theme.values()) {
            theme = t.name().equalsIgnoreCase(p.getProperty("theme", "")) ? t : theme;
        }
        double wanted = number(p, "text-scale", 1);
        double scale = SCALES.stream()
                .min((a, b) -> Double.compare(Math.abs(a - wanted), Math.abs(b - wanted)))
                .orElse(1.0);
        List<String> recent = new ArrayList<>();
        for (int i = 1; i <= RECENT && p.getProperty("recent." + i) != null; i++) {
            recent.add(p.getProperty("recent." + i));
        }
        return new WindowSettings(
                theme,
                scale,
                flag(p, "sound", usual.sound),
                flag(p, "speech", usual.speech),
                flag(p, "record", usual.record),
                recent,
                number(p, "width", 0),
                number(p, "height", 0),
                flag(p, "maximised", usual.maximised));
    }

    private static boolean flag(Properties p, String key, boolean otherwise) {
        String text = p.getProperty(key, "");
        return text.equals("true") || !text.equals("false") && otherwise;
    }

    private static double number(Properties p, String key, double otherwise) {
        try {
            double value = Double.parseDouble(p.getProperty(key, ""));
            return Double.isFinite(value) && value >= 0 ? value : otherwise;
        } catch (NumberFormatException none) {
            return otherwise;
        }
    }
}
