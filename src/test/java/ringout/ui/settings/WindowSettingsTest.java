package ringout.ui.settings;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Properties;
import org.junit.jupiter.api.Test;

class WindowSettingsTest {
    @Test
    void whatIsKeptIsReadBack() {
        WindowSettings settings = WindowSettings.first()
                .withTheme(WindowSettings.Theme.DARK)
                .withTextScale(1.5)
                .withSound(false)
                .withSpeech(true)
                .withRecord(false)
                .withSize(1500, 900)
                .withMaximised(true)
                .used("/a.yaml")
                .used("/b.yaml")
                .used("/a.yaml");
        assertEquals(settings, WindowSettings.of(settings.toProperties()));
        assertEquals("/a.yaml", settings.recent().get(0));
        assertEquals(2, settings.recent().size());
    }

    @Test
    void nonsenseIsAsAtTheFirstStart() {
        Properties p = new Properties();
        p.setProperty("theme", "plaid");
        p.setProperty("text-scale", "huge");
        p.setProperty("sound", "perhaps");
        p.setProperty("width", "-5");
        assertEquals(WindowSettings.first(), WindowSettings.of(p));
    }

    @Test
    void sizesOfTextSnapToThoseOffered() {
        Properties p = new Properties();
        p.setProperty("text-scale", "1.47");
        assertEquals(1.5, WindowSettings.of(p).textScale());
    }
}
